"""Prints pip constraints that hold every dependency of pyproject.toml at its lower bound.

python .ci/lowest_bounds.py [PYTHON VERSION, such as 3.14; this one when not said]
"""

import re
import sys
import tomllib
from pathlib import Path

# pip carries what reads requirements and their markers; nothing else is installed yet.
from pip._vendor.packaging.requirements import Requirement
from pip._vendor.packaging.version import Version

project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text("utf-8"))["project"]
python = {"python_version": sys.argv[1]} if len(sys.argv) > 1 else None
lowest: dict[str, str] = {}
extras = project["optional-dependencies"]
waiting = [*project["dependencies"], *extras["test"]]
for text in waiting:
    requirement = Requirement(text)
    if requirement.name == project["name"]:
        # The project itself with extras: what they want.
        waiting += [each for extra in requirement.extras for each in extras[extra]]
    elif requirement.marker is None or requirement.marker.evaluate(python):
        bound = re.search(r">=\s*([0-9.]+)", str(requirement.specifier))
        if bound is None:
            raise SystemExit(f"pyproject.toml: {text} has no lower bound")
        # Of several lines for one package that hold here all must.
        lowest[requirement.name] = max(bound[1], lowest.get(requirement.name, "0"), key=Version)
print("\n".join(f"{name}=={version}" for name, version in lowest.items()))
