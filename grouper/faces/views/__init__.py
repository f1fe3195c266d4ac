"""What the faces show: typed values, built from a class record, that sheets, commands and pages share."""
