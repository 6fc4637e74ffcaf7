"""Small drawings made on the server: strings of SVG with presentation attributes and classes, never inline style."""
