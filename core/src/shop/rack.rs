//! Bars on the rack.

use super::read::{self, File};
use crate::standards::stock::Bar;
use crate::yaml::Node;

/// Reads `rack.yaml`.
pub(super) fn read_rack(file: &File<'_>) -> Vec<Bar> {
    let mut fields = file.fields("the rack");
    if fields.need("bars").is_none() {
        fields.finish();
        return Vec::new();
    }
    let nodes = fields.list("bars");
    let mut bars: Vec<Bar> = Vec::new();
    for node in nodes {
        let Some(bar) = bar(file, node) else { continue };
        if bars.iter().any(|known| known.name == bar.name) {
            let headline = format!("Two bars are called `{}`.", bar.name);
            let help = "List all lengths of one bar together, or call one otherwise.";
            fields.refuse("shop/rack", headline, node.span, "this name stands above already", help);
            continue;
        }
        bars.push(bar);
    }
    fields.finish();
    bars
}

fn bar<'n>(file: &File<'n>, node: &'n Node) -> Option<Bar> {
    let mut fields = file.entries(node, "a bar");
    let name = fields.need_text("name");
    let material = fields.need_text("material");
    let width = read::length(&mut fields, "width");
    let height = read::length(&mut fields, "height");
    let tolerance = read::length_or_none(&mut fields, "tolerance");
    let lengths = read::lengths(&mut fields, "lengths");
    let rests = if fields.node("rests").is_some() { read::lengths(&mut fields, "rests") } else { Some(Vec::new()) };
    if let (Some(width), Some(height)) = (width, height)
        && height > width
    {
        let span = read::span_of(&mut fields, "height");
        let headline = "The height of a bar is above its width.";
        fields.refuse("shop/rack", headline, span, "above `width`", "The larger side is the width; swap them.");
    }
    if let (Some(tolerance), Some(height)) = (tolerance, height)
        && tolerance * 4.0 > height
    {
        let span = read::span_of(&mut fields, "tolerance");
        fields.refuse("shop/rack", "A bar cannot vary by so much.", span, "above a quarter of its height", "");
    }
    fields.finish();
    Some(Bar {
        name: name?,
        material: material?,
        width: width?,
        height: height?,
        tolerance: tolerance?,
        lengths: lengths?,
        rests: rests?,
    })
}
