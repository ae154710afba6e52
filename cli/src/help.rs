//! Examples for each command, and what all of them have in common.

/// After the help of the whole program.
pub(crate) const ALL: &str = "\
Examples:
  barwright make joining-key
  barwright make joining-key slot_opening='3/8 in' screw=10-32 --unit in -o key
  barwright make joining-key --like warping-frame-inch
  barwright make joining-key quantity=50 spares=4
  barwright adjust key tongue_width=10.03 screw_holes.go=no
  barwright explain joining-key
  barwright prove program-1.nc --part part.json
  barwright standard thread 1/4-20
  barwright page
  barwright help make

Exit codes: 0 made or proved, 1 refused, or a file is wrong or missing, 2 the command
line is wrong, 3 the machine failed (disk, folder). What is refused is told on standard
error; with --json it is told as JSON on standard output.

Your shop is the first of: --shop, BARWRIGHT_SHOP, shop.yaml in this folder,
barwright/shop.yaml in your settings (XDG_CONFIG_HOME, usually ~/.config), the demo shop.

Programs move real cutters. Wear eye protection, keep guards closed, run above the
part first and the first piece in single steps. The machine's manual, local codes
and a qualified person come first.";

pub(crate) const MAKE: &str = "\
Examples:
  barwright make joining-key
  barwright make joining-key slot_opening='3/8 in' screw=10-32 --unit in -o key
  barwright make joining-key tongue_fit='0.05 to 0.10 mm' screws=3 length_per_rail=45mm
  barwright make joining-key --like warping-frame --shop ~/shop --control written-out
  barwright make joining-key quantity=50 spares=4          the papers of an order too
  barwright make joining-key quantity=50 load=6            six pieces on the table at a time
  barwright make joining-key --list orders.csv -o orders   each row its folder
  barwright make stop-block.yaml --dry --json              what would be made, for a program
  barwright make - < stop-block.yaml                       a family from standard input

The files appear together or not at all; a packet that is there is replaced whole.";

pub(crate) const ADJUST: &str = "\
Examples:
  barwright adjust key tongue_width=10.03 screw_holes.go=no
  barwright adjust key tongue_width=10.03 tongue_width=10.02 -o key-2
  barwright adjust key time='17.5 min'";

pub(crate) const EXPLAIN: &str = "\
Examples:
  barwright explain joining-key
  barwright explain stop-block.yaml --json";

pub(crate) const FAMILIES: &str = "\
Examples:
  barwright families
  barwright families --json";

pub(crate) const NEW: &str = "\
Examples:
  barwright new stop-block
  barwright new stop-block -o families/stop-block.yaml
  barwright new stop-block -o - | barwright check -";

pub(crate) const CHECK: &str = "\
Examples:
  barwright check stop-block.yaml
  barwright check *.yaml --tries 500
  barwright check - --json < stop-block.yaml

Every file is looked at, also after one that is wrong or missing.";

pub(crate) const TABLE: &str = "\
Examples:
  barwright table joining-key --vary length_per_rail=20mm..60mm/5mm
  barwright table joining-key --vary screw=M4,M5,M6 --vary screws=1,2,3 -o keys.csv
  barwright table spacer-bar --vary length=40mm..200mm/20mm --drawing bars.pdf";

pub(crate) const SCHEMA: &str = "\
Example:
  barwright schema > family.schema.json";

pub(crate) const REFERENCE: &str = "\
Example:
  barwright reference | less";

pub(crate) const PROVE: &str = "\
Examples:
  barwright prove key/program-1.nc --part key/part.json
  barwright prove edited.nc --part key/part.json --setup 2 --json
  sed 's/F349/F300/' key/program-1.nc | barwright prove - --part key/part.json";

pub(crate) const TRACE: &str = "\
Examples:
  barwright trace key/program-1.nc
  barwright trace key/packet.pdf                           every page, word for word
  barwright trace found-in-a-drawer.pdf --part key";

pub(crate) const STANDARD: &str = "\
Examples:
  barwright standard thread 1/4-20
  barwright standard drill '#7'
  barwright standard fit '25 H7/g6'
  barwright standard screw 'M5 set' --json
  barwright standard tolerance 'ISO 2768-m'
  barwright standard material brass";

pub(crate) const SHOP: &str = "\
Examples:
  barwright shop
  barwright shop --start my-shop
  barwright shop --shop my-shop --json";

pub(crate) const PAGE: &str = "\
Examples:
  barwright page
  barwright page --port 8000";

pub(crate) const COMPLETIONS: &str = "\
Examples:
  barwright completions bash > ~/.local/share/bash-completion/completions/barwright
  barwright completions zsh > ~/.zfunc/_barwright
  barwright completions fish > ~/.config/fish/completions/barwright.fish";

pub(crate) const MANUAL: &str = "\
Examples:
  barwright manual | man -l -
  barwright manual make | man -l -
  barwright manual -o ~/.local/share/man/man1";
