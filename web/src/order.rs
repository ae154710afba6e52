//! An order of many pieces of the last variant: its packet of papers and all its files.

use barwright_core::batch::Count;
use barwright_core::diag::Diagnostic;
use barwright_core::job::{self, File, Wanted};
use serde_json::{Value, json};

use crate::desk::Desk;
use crate::{archive, tell};

/// The files of an order, in the folder of their part.
#[derive(Debug)]
pub(crate) struct Papers {
    folder: String,
    files: Vec<File>,
}

impl Desk {
    /// Works out an order of the last variant; the one before it is gone, whatever comes of this
    /// one. Tells the findings, and the names of the files where nothing refuses it.
    pub fn order(&mut self, quantity: &str, spares: &str) -> Value {
        self.papers = None;
        match self.papers_of(quantity, spares) {
            Ok((papers, cautions)) => {
                let names: Vec<&str> = papers.files.iter().map(|(name, _)| name.as_str()).collect();
                let told = json!({ "findings": tell::findings(&cautions, &[]), "files": names });
                self.papers = Some(papers);
                told
            }
            Err(findings) => json!({ "findings": tell::findings(&findings, &[]), "files": [] }),
        }
    }

    fn papers_of(&self, quantity: &str, spares: &str) -> Result<(Papers, Vec<Diagnostic>), Vec<Diagnostic>> {
        let goods = self.job.as_ref().and_then(|job| job.goods.as_ref());
        let (Some(goods), Some(shop)) = (goods, &self.shop) else { return Err(Vec::new()) };
        let count = Count::read(quantity, spares).map_err(|finding| vec![finding])?;
        let wanted = Wanted { count, per_load: None, timed: None };
        let worked = job::work_out(goods, shop, wanted, false);
        let Some(order) = worked.value else { return Err(worked.findings) };
        let mut goods = goods.clone();
        order.enter(&mut goods, shop);
        let unwritable =
            |error| vec![Diagnostic::refused("page/pdf", format!("The papers cannot be written as PDF: {error}."))];
        let files = order.files(&goods, shop).and_then(|papers| job::files(&goods, papers)).map_err(unwritable)?;
        Ok((Papers { folder: job::folder_name(&goods.part.number), files }, worked.findings))
    }

    /// The bytes of one of the order's files.
    #[must_use]
    pub fn order_file(&self, name: &str) -> Option<Vec<u8>> {
        self.papers.as_ref()?.files.iter().find(|(known, _)| known == name).map(|(_, bytes)| bytes.clone())
    }

    /// All of the order's files in one archive, in a folder of the part's number.
    #[must_use]
    pub fn order_archive(&self) -> Option<Vec<u8>> {
        let papers = self.papers.as_ref()?;
        archive::write(&papers.folder, &papers.files)
    }
}

#[cfg(test)]
mod tests {
    use super::Desk;

    fn ordered() -> Desk {
        let mut desk = Desk::default();
        desk.open_family("joining-key", None);
        desk.make(r#"{"unit":"mm"}"#);
        desk
    }

    #[test]
    fn an_order_has_its_packet() {
        let mut desk = ordered();
        let told = desk.order("50", "4");
        let names: Vec<&str> =
            told["files"].as_array().expect("a list").iter().filter_map(|name| name.as_str()).collect();
        for name in ["packet.pdf", "cut-list.csv", "program-1.nc", "part.json"] {
            assert!(names.contains(&name) && desk.order_file(name).is_some(), "{name} of {names:?}");
        }
        assert!(desk.order_archive().is_some_and(|bytes| bytes.starts_with(b"PK")), "an archive");
        let refused = desk.order("0", "");
        assert_eq!(refused["findings"][0]["helps"][0], "The least is quantity=1.", "{refused}");
        assert!(desk.order_file("packet.pdf").is_none() && desk.order_archive().is_none(), "nothing is left");
    }

    #[test]
    fn another_variant_leaves_no_papers() {
        let mut desk = ordered();
        desk.order("2", "");
        desk.make(r#"{"unit":"mm","sizes":{"screws":"4"}}"#);
        assert!(desk.order_file("packet.pdf").is_none(), "of the variant before");
        assert!(desk.order("2", "")["files"].as_array().is_some_and(Vec::is_empty), "a refused one has none");
    }
}
