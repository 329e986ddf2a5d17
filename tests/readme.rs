//! The README's examples say what the program says.

#[test]
fn examples_are_as_they_are_run() {
    trycmd::TestCases::new().case("README.md");
}
