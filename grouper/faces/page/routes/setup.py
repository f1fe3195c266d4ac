from flask import Blueprint
setup = Blueprint("setup", __name__)
@setup.get("/new")
def new(**k): return "soon"
