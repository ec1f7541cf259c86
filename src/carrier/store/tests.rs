//! Tests of the profile store.

use super::*;

#[test]
fn the_shipped_profiles_read() {
    let (found, errors) = ProfileStore::shipped().all();
    assert_eq!(errors, []);
    assert_eq!(found.len(), SHIPPED.len());
}

#[test]
fn a_later_profile_of_the_same_name_replaces() {
    let mut profiles = ProfileStore::shipped();
    profiles
        .add(Path::new("mine.toml"), "name = \"ember mobile\"\nnetworks = [\"00107\"]\n".into());
    let (found, _) = profiles.all();
    assert_eq!(found.len(), SHIPPED.len());
    assert_eq!(profiles.named("Ember Mobile").unwrap().carrier.networks, ["00107"]);
}

#[test]
fn an_error_names_file_line_and_key_with_a_caret() {
    let mut profiles = ProfileStore::default();
    profiles.add(Path::new("bad.toml"), "name = \"x\"\nnetwroks = [\"00101\"]\n".into());
    let (_, errors) = profiles.all();
    let text = errors[0].to_string();
    assert!(
        text.starts_with("bad.toml:2:1: there is no key `netwroks`; perhaps `networks`"),
        "{text}"
    );
    assert!(text.ends_with("| ^^^^^^^^"), "{text}");
}

#[test]
fn several_profiles_stand_in_one_file() {
    let mut profiles = ProfileStore::default();
    let text = "# many\n[[carrier]]\nname = \"a\"\nnetworks = [\"00101\"]\n\n[[carrier]]\nname = \"b\"\nnetworks = [1]\n";
    profiles.add(Path::new("many.toml"), text.into());
    let (found, errors) = profiles.all();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].place.line, 2);
    assert_eq!(errors[0].at.unwrap().0, 8, "{}", errors[0]);
}

#[test]
fn hostile_directories_end_with_clear_errors() {
    let folder = tempfile::tempdir().unwrap();
    let path = |n: &str| folder.path().join(n);
    std::fs::write(path("latin.toml"), b"name = \"Caf\xe9\"").unwrap();
    std::fs::write(path("deep.toml"), format!("x = {}", "[".repeat(100_000))).unwrap();
    std::fs::write(path("control.toml"), "name = \"a\u{1b}[31m\"").unwrap();
    std::fs::write(path("notes.txt"), "not a profile").unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(folder.path(), path("loop")).unwrap();
        std::os::unix::fs::symlink(path("circle.toml"), path("circle.toml")).unwrap();
    }
    let (profiles, errors) = ProfileStore::load(&[folder.path().to_owned()]);
    let (_, more) = profiles.all();
    let all: Vec<String> = errors.iter().chain(&more).map(ToString::to_string).collect();
    assert!(all.iter().any(|e| e.contains("not UTF-8")), "{all:?}");
    assert!(all.iter().any(|e| e.contains("deep.toml")), "{all:?}");
    assert!(all.iter().all(|e| !e.contains('\u{1b}')), "{all:?}");
}

#[test]
fn the_owner_of_a_name_is_found() {
    assert_eq!(
        ProfileStore::shipped().owners("FIXED.upland.example", Some("Ember Mobile")),
        Vec::<String>::new()
    );
    assert_eq!(
        ProfileStore::shipped().owners("fixed.upland.example", Some("Ember Mobile")),
        ["Upland Fixed"]
    );
}
