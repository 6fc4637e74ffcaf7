"""Plans of many clients at once: the week board, templates, copies, group blocks, publishing, the group sheet."""
