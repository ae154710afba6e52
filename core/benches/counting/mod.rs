//! Instructions of a bench that is run as a command of its own, counted by valgrind.

use std::env;
use std::process::Command;

/// Instructions of this program with such words, setting-up and all.
pub fn instructions(words: &[&str]) -> f64 {
    let me = env::current_exe().expect("a program knows where it is");
    let told = Command::new("valgrind")
        .args(["--tool=cachegrind", "--cache-sim=no", "--cachegrind-out-file=/dev/null"])
        .arg(me)
        .args(words)
        .output()
        .expect("valgrind is installed");
    let said = String::from_utf8_lossy(&told.stderr);
    assert!(told.status.success(), "{words:?}: {said}");
    let line = said.lines().find_map(|line| line.split_once(" refs:")).expect("valgrind counts").1;
    line.trim().replace(',', "").parse().expect("a count is a number")
}

/// Columns and rows of so many holes, as square as they come.
pub fn grid(holes: i32) -> (i32, i32) {
    let rows = (1..=holes).take_while(|rows| rows * rows <= holes).filter(|rows| holes % rows == 0).last().unwrap_or(1);
    (holes / rows, rows)
}
