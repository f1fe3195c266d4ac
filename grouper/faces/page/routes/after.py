from flask import Blueprint
after = Blueprint("after", __name__)
@after.get("/c/<name>/lesson/<int:number>/after")
def over(**k): return "soon"
