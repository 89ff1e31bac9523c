//! The rooms of the house know each other in one direction only (DEVELOPERS.md, "How the house is laid").

use std::collections::BTreeMap;
use std::process::Command;

/// Every room and all that it may know of ours. A new crate has to be added here on purpose.
const MAY_KNOW: [(&str, &[&str]); 13] = [
    ("wetframe-time", &[]),
    ("wetframe-clip", &["time"]),
    ("wetframe-stroke", &["time"]),
    ("wetframe-picture", &[]),
    ("wetframe-vision", &["picture", "time"]),
    ("wetframe-session", &["stroke", "time"]),
    ("wetframe-report", &["session", "stroke", "time"]),
    ("wetframe-plain", &["session", "stroke"]),
    (
        "wetframe-page",
        &["picture", "plain", "report", "session", "stroke", "time"],
    ),
    ("wetframe-worker", &["clip", "plain", "session", "time"]),
    ("wetframe-cli", &["clip", "report", "session", "stroke", "time"]),
    ("wetframe-demo", &["clip", "session", "stroke", "time"]),
    ("xtask", &[]),
];

#[test]
fn every_room_knows_only_the_rooms_below_it() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .output()
        .expect("cargo metadata runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).expect("cargo writes JSON");
    let may_know: BTreeMap<&str, &[&str]> = MAY_KNOW.into_iter().collect();
    let packages = metadata["packages"].as_array().expect("a list of packages");
    assert!(packages.len() >= 7, "the workspace has its rooms");
    for package in packages {
        let name = package["name"].as_str().expect("a name");
        let allowed = may_know
            .get(name)
            .unwrap_or_else(|| panic!("{name} has no place in the house yet"));
        for dependency in package["dependencies"]
            .as_array()
            .expect("a list of dependencies")
        {
            let Some(known) = dependency["name"]
                .as_str()
                .and_then(|name| name.strip_prefix("wetframe-"))
            else {
                continue;
            };
            // A crate may turn on its own features for its tests.
            if name.strip_prefix("wetframe-") == Some(known) {
                continue;
            }
            assert!(allowed.contains(&known), "{name} must not know wetframe-{known}");
        }
    }
}
