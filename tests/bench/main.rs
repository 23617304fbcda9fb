//! Measurements, run by hand with `cargo bench`; nothing here asserts a time.
fn main() {}
