"""One module a kind of joint: what it cuts out of its pieces and adds to them."""
