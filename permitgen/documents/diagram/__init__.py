"""The one-line diagram: from the view's tree of units to shapes on a grid, without one line that crosses another."""
