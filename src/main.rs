//! The program: parse the arguments, run the command, leave with its exit code.
fn main() {}
