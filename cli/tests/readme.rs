//! What the README shows of the command line, done: its list in its order, and what it prints.

mod bench;

use bench::Bench;

const README: &str = include_str!("../../README.md");

/// The words of a line as a shell hands them over: quotes hold words together, ` #` ends the line.
fn words(line: &str) -> Vec<String> {
    let bare = line.split_once(" #").map_or(line, |(bare, _)| bare);
    let mut words = vec![String::new()];
    let mut quoted = false;
    for sign in bare.trim().chars() {
        match sign {
            '\'' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().expect("one at least").push(sign),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// The commands of a section, in their order.
fn commands(section: &str) -> Vec<Vec<String>> {
    let text = README.split(&format!("\n## {section}\n")).nth(1).expect(section);
    let text = text.split("\n## ").next().expect("a section");
    let lines = text.lines().filter_map(|line| line.strip_prefix("    barwright "));
    let commands: Vec<_> = lines.map(words).collect();
    assert!(commands.len() >= 2, "{section} shows commands");
    commands
}

#[test]
fn the_list_goes_as_it_is_shown() {
    let bench = Bench::new();
    bench.file("orders.csv", "screw,quantity\nM5,2\nM4,3\n");
    // `prove` is shown with the files of a packet in the folder where one stands.
    bench.run(&["make", "joining-key", "-o", "packet"]).made();
    for name in ["program-1.nc", "part.json"] {
        bench.file(name, &bench.text(&format!("packet/{name}")));
    }
    for section in ["What you can ask", "A family of your own", "Many at once"] {
        for command in commands(section) {
            // Where the shell keeps what is printed is the shell's matter.
            let words: Vec<&str> = command.iter().map(String::as_str).take_while(|word| *word != ">").collect();
            let run = bench.run(&words);
            assert_eq!((run.code, run.err.as_str()), (0, ""), "{section}: {words:?}: {}", run.out);
        }
    }
}

/// The excerpt under `The proof`: one depth of the demo key's program, ten times too deep.
#[test]
fn the_breach_that_is_shown_is_the_one_that_is_told() {
    let text = README.split("\n## The proof\n").nth(1).expect("a section");
    let lines = text.lines().skip_while(|line| !line.starts_with("    line "));
    let shown: Vec<&str> = lines.map_while(|line| line.strip_prefix("    ")).collect();
    assert!(shown.len() >= 3, "{shown:?}");
    let bench = Bench::new();
    bench.make(&[]).made();
    let program = bench.text("key/program-1.nc");
    let deep = bench.file("deep.nc", &program.replacen("Z-2.625", "Z-26.25", 1));
    let told = bench.run(&["prove", &deep, "--part", "key"]).refused(&[]).err;
    assert!(told.contains(&shown.join("\n")), "not told:\n{}\nbut:\n{told}", shown.join("\n"));
}
