"""One module a kind of joint: all that the program says and reckons of it without knowing where its pieces lie."""
