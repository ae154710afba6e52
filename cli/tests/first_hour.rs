//! The guided first hour, walked: every command of it, in its order, in one folder.

mod bench;

use bench::Bench;

/// The words of a line as a shell would hand them over; what stands in the page needs no quotes.
fn words(line: &str) -> Vec<&str> {
    let bare = line.split_once(" #").map_or(line, |(bare, _)| bare);
    assert!(!bare.contains(['\'', '"', '$', '|']), "a shell would read `{bare}` in its own way");
    bare.split_whitespace().skip(1).collect()
}

#[test]
fn the_first_hour_goes_as_it_is_told() {
    let page = include_str!("../families/FIRST-HOUR.md");
    let bench = Bench::new();
    let mut shell = false;
    let mut walked = 0;
    for line in page.lines() {
        match line {
            "```sh" => shell = true,
            "```" => shell = false,
            command if shell => {
                assert!(command.starts_with("barwright "), "`{command}` is not ours");
                let run = bench.run(&words(command));
                if command.ends_with("# refused") {
                    run.refused(&["try"]);
                } else {
                    run.made();
                }
                walked += 1;
            }
            _ => {}
        }
    }
    assert!(walked >= 10, "only {walked} commands");
    for file in ["key/drawing.pdf", "mine/program-1.nc", "my-shop/crib.yaml", "order/packet.pdf"] {
        assert!(bench.path(file).is_file(), "{file} is there");
    }
    assert!(bench.path("crowded").exists(), "the remedy was taken");
}
