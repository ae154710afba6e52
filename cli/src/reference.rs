//! `barwright schema` and `barwright reference`.

use barwright_core::family;

/// The JSON Schema of family files.
pub(crate) fn schema() -> String {
    family::schema()
}

/// The reference as Markdown.
pub(crate) fn page() -> String {
    family::reference()
}
