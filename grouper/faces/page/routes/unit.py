from flask import Blueprint
unit = Blueprint("unit", __name__)
@unit.get("/c/<name>/unit")
def overview(**k): return "soon"
