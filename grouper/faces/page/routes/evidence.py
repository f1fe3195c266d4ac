from flask import Blueprint
evidence = Blueprint("evidence", __name__)
@evidence.get("/c/<name>/evidence")
def of_class(**k): return "soon"
