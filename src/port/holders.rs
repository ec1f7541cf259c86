//! Which programs hold a port.

/// The programs that hold a port, as ` (name, process number)`; empty where the system does not say.
pub fn holders(path: &str) -> String {
    let Ok(target) = std::fs::canonicalize(path) else { return String::new() };
    let mut found = Vec::new();
    for process in std::fs::read_dir("/proc").into_iter().flatten().flatten() {
        let number = process.file_name().to_string_lossy().into_owned();
        if !number.bytes().all(|b| b.is_ascii_digit()) || number == std::process::id().to_string() {
            continue;
        }
        let files = std::fs::read_dir(process.path().join("fd")).into_iter().flatten().flatten();
        if files.filter_map(|f| std::fs::read_link(f.path()).ok()).any(|link| link == target) {
            let name = std::fs::read_to_string(process.path().join("comm")).unwrap_or_default();
            found.push(format!("{}, process {number}", name.trim()));
        }
    }
    if found.is_empty() { String::new() } else { format!(" ({})", found.join("; ")) }
}
