//! What README.md and DEVELOPERS.md say is there, is there.
#![allow(clippy::expect_used, clippy::disallowed_methods)]

use std::path::Path;

/// Words in backquotes, and link targets, that look like paths of this project.
fn paths(text: &str) -> Vec<String> {
    let quoted = text.split('`').skip(1).step_by(2);
    let linked = text.split("](").skip(1).filter_map(|s| s.split(')').next());
    let roots = ["src/", "tests/", "templates/", "fonts/", "benches/", ".ci/"];
    quoted
        .chain(linked)
        .filter(|w| roots.iter().any(|r| w.starts_with(r)))
        .filter(|w| !w.contains([' ', '\n', '*']))
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_path_that_the_documents_name_exists() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for (name, least) in [("README.md", 4), ("DEVELOPERS.md", 20)] {
        let text = std::fs::read_to_string(root.join(name)).expect(name);
        let named = paths(&text);
        assert!(named.len() >= least, "{name} names only {named:?}");
        for path in named {
            assert!(root.join(&path).exists(), "{name} names `{path}`, which is not there");
        }
    }
}

#[test]
fn the_readme_s_first_command_is_the_one_that_is_tested() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("README.md")).expect("README.md");
    let commands: Vec<&str> = text.lines().filter(|l| l.starts_with("cargo ")).collect();
    assert_eq!(
        commands.first(),
        Some(&"cargo run --release -- publish templates/harbour-rib.toml")
    );
    assert_eq!(commands.get(1), Some(&"cargo test"));
}
