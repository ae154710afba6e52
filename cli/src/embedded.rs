//! The families and the demo shop that are built into the program.

/// File name and text of each family.
pub(crate) const FAMILIES: &[(&str, &str)] = &[
    ("joining-key.yaml", include_str!("../families/joining-key.yaml")),
    ("spacer-bar.yaml", include_str!("../families/spacer-bar.yaml")),
    ("tapped-plate.yaml", include_str!("../families/tapped-plate.yaml")),
    ("clamp-bar.yaml", include_str!("../families/clamp-bar.yaml")),
];

/// File name and text of each file of the demo shop.
pub(crate) const SHOP: &[(&str, &str)] = &[
    ("shop.yaml", include_str!("../families/shop/shop.yaml")),
    ("machine.yaml", include_str!("../families/shop/machine.yaml")),
    ("crib.yaml", include_str!("../families/shop/crib.yaml")),
    ("rack.yaml", include_str!("../families/shop/rack.yaml")),
    ("vise.yaml", include_str!("../families/shop/vise.yaml")),
    ("control-canned.yaml", include_str!("../families/shop/control-canned.yaml")),
    ("control-written-out.yaml", include_str!("../families/shop/control-written-out.yaml")),
    ("control-absolute.yaml", include_str!("../families/shop/control-absolute.yaml")),
];
