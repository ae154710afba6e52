//! `barwright schema` and `barwright reference`.

/// The JSON Schema of family files.
pub(crate) fn schema() -> String {
    String::new()
}

/// The reference as Markdown.
pub(crate) fn page() -> String {
    String::new()
}
