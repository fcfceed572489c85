"""The local page: routes, who may ask, and the work handed on; no arithmetic."""
