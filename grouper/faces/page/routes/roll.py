from flask import Blueprint
roll = Blueprint("roll", __name__)
@roll.get("/c/<name>/class")
def roster(**k): return "soon"
