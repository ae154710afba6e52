//! Families and the demo shop as JSON, for the element, which reads no YAML.

#[cfg(feature = "element")]
#[path = "../cli/src/embedded.rs"]
mod embedded;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    #[cfg(feature = "element")]
    write();
}

#[cfg(feature = "element")]
fn write() {
    use std::path::PathBuf;
    use std::{env, fs};

    use barwright_core::source::Source;
    use barwright_core::yaml;

    let list = |name: &str, texts: &[(&str, &str)]| {
        let entry = |(file, text): &(&str, &str)| {
            println!("cargo::rerun-if-changed=../families");
            let node = yaml::read(&Source::new(*file, *text)).into_result().expect("what is built in can be read");
            let json = serde_json::to_string(&node).expect("a tree of texts");
            format!("    ({file:?}, {json:?}),\n")
        };
        let entries: String = texts.iter().map(entry).collect();
        format!("pub(crate) const {name}: &[(&str, &str)] = &[\n{entries}];\n")
    };
    let text = list("FAMILIES", embedded::FAMILIES) + &list("SHOP", embedded::SHOP);
    let folder = PathBuf::from(env::var_os("OUT_DIR").expect("cargo names a folder"));
    fs::write(folder.join("embedded.rs"), text).expect("the folder can be written");
}
