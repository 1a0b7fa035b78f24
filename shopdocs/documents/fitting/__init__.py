"""Words for pieces that go together: twins and wrong ways, places inside a joint, steps of a glue-up."""
