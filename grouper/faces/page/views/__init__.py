"""What the screens of the page show: typed values that templates only lay out."""
