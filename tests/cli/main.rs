//! The built program, run as a user runs it.
