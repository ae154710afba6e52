//! One target's run: its texts, what they came to, what was found.

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use std::{env, fs, panic, thread};

use barwright_tests::dice::Dice;
use barwright_tests::house;

use crate::{HEAP, USUAL, mutate, targets};

/// The stack of a run: what a browser gives a module, and twice that for a build without
/// optimisation.
const STACK: usize = if cfg!(debug_assertions) { 2 << 20 } else { 1 << 20 };

/// The longest that one text may take. A debug build on a machine that has other work is slow.
const PATIENCE: Duration = Duration::from_secs(if cfg!(debug_assertions) { 60 } else { 6 });

/// The most texts that a run keeps to change further.
const MOST: usize = 3_000;

/// Where a run writes.
pub(crate) fn folder() -> PathBuf {
    let target = env::var_os("CARGO_TARGET_DIR").map_or_else(|| house().join("target"), PathBuf::from);
    target.join("fuzzed")
}

/// Runs one target to its end, on a stack of its own.
pub(crate) fn one_target(name: &str) -> ExitCode {
    fs::create_dir_all(folder()).expect("the folder of findings can be made");
    let name = name.to_owned();
    let thread = thread::Builder::new().stack_size(STACK).spawn(move || run(&name)).expect("a thread starts");
    match thread.join() {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(_) => ExitCode::from(101),
    }
}

/// What a panic said, and where.
fn listen() -> Arc<Mutex<String>> {
    let said = Arc::new(Mutex::new(String::new()));
    let heard = Arc::clone(&said);
    panic::set_hook(Box::new(move |info| {
        if let Ok(mut said) = heard.lock() {
            *said = info.to_string().replace('\n', " ");
        }
    }));
    said
}

fn number(name: &str) -> Option<u64> {
    env::var(name).ok()?.parse().ok()
}

/// The texts that a target begins with, those of the house and those that were kept.
fn corpus(name: &str) -> Vec<String> {
    let mut texts = targets::seeds(name);
    let Ok(listing) = fs::read_dir(kept(name)) else { return texts };
    let mut paths: Vec<PathBuf> = listing.filter_map(Result::ok).map(|item| item.path()).collect();
    paths.sort();
    texts.extend(paths.iter().filter_map(|path| fs::read_to_string(path).ok()));
    texts
}

fn kept(name: &str) -> PathBuf {
    house().join("tests/fuzz/corpus").join(name)
}

fn run(name: &str) -> usize {
    let said = listen();
    let mut target = targets::target(name);
    let share = targets::share(name);
    let count = number("FUZZ_COUNT").unwrap_or(USUAL);
    let seconds = number("FUZZ").map(Duration::from_secs);
    let mut dice = Dice::new(number("FUZZ_SEED").unwrap_or(1));
    let mut pool = corpus(name);
    let own = pool.len();
    let words = mutate::words(&pool);
    let mut kinds: BTreeSet<String> = BTreeSet::new();
    let mut found: BTreeSet<String> = BTreeSet::new();
    let (begun, mut slowest, mut tried) = (Instant::now(), Duration::ZERO, 0_u64);
    loop {
        let at = usize::try_from(tried).unwrap_or(usize::MAX);
        let done = seconds.map_or(tried >= (count * share / 100).max(own as u64), |most| begun.elapsed() >= most);
        if done {
            break;
        }
        // Every text of the corpus as it is, then changes of all that is in the pool.
        let text = if at < own { pool[at].clone() } else { mutate::change(&pool, &words, &mut dice) };
        tried += 1;
        let _full = fs::write(folder().join(format!("{name}.now")), &text);
        let start = Instant::now();
        let answer = catch_unwind(AssertUnwindSafe(|| target(&text)));
        let took = start.elapsed();
        slowest = slowest.max(took);
        let wrong = match &answer {
            Err(_) => said.lock().map(|said| said.clone()).ok(),
            Ok(_) if took > PATIENCE => Some(format!("took {} s", took.as_secs())),
            Ok(Err(wrong)) => Some(wrong.clone()),
            Ok(Ok(_)) => None,
        };
        if let Some(wrong) = wrong {
            // Each place once: what is told beside the place differs from text to text.
            let place: String = wrong.chars().filter(|sign| !sign.is_ascii_digit()).take(70).collect();
            let whole: String = wrong.chars().take(300).collect();
            if found.insert(if wrong.starts_with("panicked") { whole.clone() } else { place }) && found.len() <= 40 {
                let path = folder().join(format!("{name}-{}.txt", found.len()));
                let _full = fs::write(&path, &text);
                println!("{name}: {whole}\n  by {}", path.display());
            }
        } else if let Ok(Ok(kind)) = answer
            && kinds.insert(kind)
            && at >= own
            && text.len() < 20_000
        {
            if pool.len() < MOST {
                pool.push(text);
            } else {
                let at = own + usize::try_from(dice.below((MOST - own) as u64)).unwrap_or(0);
                pool[at] = text;
            }
        }
    }
    if let Some(most) = number("FUZZ_KEEP") {
        keep(&kept(name), &pool[own..], usize::try_from(most).unwrap_or(0));
    }
    println!(
        "{name}: {tried} texts in {} s, {} kinds of answer, slowest {} ms, {} MB at most, {} findings",
        begun.elapsed().as_secs(),
        kinds.len(),
        slowest.as_millis(),
        HEAP.max_allocated() / 1_000_000,
        found.len()
    );
    found.len()
}

/// Keeps the shortest texts of new kinds; a name is the number of its bytes and a sum of them.
fn keep(folder: &Path, texts: &[String], most: usize) {
    fs::create_dir_all(folder).expect("the corpus can be written");
    let mut texts: Vec<&String> = texts.iter().collect();
    texts.sort_by_key(|text| text.len());
    for text in texts.into_iter().take(most) {
        let sum = text.bytes().fold(0_u32, |sum, byte| sum.wrapping_mul(31).wrapping_add(u32::from(byte)));
        fs::write(folder.join(format!("{:05}-{sum:08x}", text.len())), text).expect("a text can be kept");
    }
}
