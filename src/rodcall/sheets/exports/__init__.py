"""Files for other programs: JSON, CSV, LandXML, points, and the season's table."""
