"""Random inputs that the tests of several rooms share."""
