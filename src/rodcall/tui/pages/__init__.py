"""The screens around the shot grid."""
