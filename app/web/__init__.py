"""Pages, fragments and feeds: parse, one use-case, render."""
