//! End to end checks of gainsay against things from outside.
