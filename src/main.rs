//! The program: arguments in, exit status out.
fn main() {}
