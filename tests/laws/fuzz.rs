//! The fuzz targets on stable: every seed replayed in every run, and where `POURCARD_FUZZ_SECONDS` is set, so long of
//! mutated seeds for each target, by the chance of `POURCARD_FUZZ_SEED`. The loop mutates blindly; `cargo xtask test --deep` runs cargo-fuzz instead where a
//! nightly toolchain is there, which is guided by what the code did.

#[path = "../fuzz/targets/mod.rs"]
mod targets;

use std::path::PathBuf;
use std::time::{Duration, Instant};
use targets::TARGETS;

/// The longest a mutated seed grows.
const LONGEST: usize = 8192;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz")
}

/// The seeds of a target, by file name.
fn seeds(target: &str) -> Vec<Vec<u8>> {
    let folder = folder().join("corpus").join(target);
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{} is empty", folder.display());
    files
        .iter()
        .map(|file| std::fs::read(file).unwrap())
        .collect()
}

#[test]
fn every_seed_is_survived() {
    for (name, target) in TARGETS {
        for seed in seeds(name) {
            target(&seed);
        }
    }
}

#[test]
fn every_target_has_its_program() {
    let manifest = std::fs::read_to_string(folder().join("Cargo.toml")).unwrap();
    for (name, _) in TARGETS {
        let program = folder().join("bins").join(format!("{name}.rs"));
        let text = std::fs::read_to_string(&program).unwrap();
        assert!(
            text.contains(&format!("\"{name}\"")),
            "{}",
            program.display()
        );
        assert!(manifest.contains(&format!("name = \"{name}\"")), "{name}");
    }
    let programs = std::fs::read_dir(folder().join("bins")).unwrap().count();
    assert_eq!(programs, TARGETS.len(), "a program without a target");
}

#[test]
fn mutated_seeds_are_survived() {
    let seconds = std::env::var("POURCARD_FUZZ_SECONDS").map_or(0.0, |s| s.parse().unwrap());
    let chance: u64 = std::env::var("POURCARD_FUZZ_SEED").map_or(0, |s| s.parse().unwrap());
    let mut random = Random(0x9e37_79b9_7f4a_7c15 ^ chance);
    for (name, target) in TARGETS {
        let seeds = seeds(name);
        let begun = Instant::now();
        let mut runs = 0_u64;
        // A few in every run, so that the loop itself is tried.
        while runs < 200 || begun.elapsed() < Duration::from_secs_f64(seconds) {
            let data = mutated(&seeds, &mut random);
            let survived = std::panic::catch_unwind(|| target(&data));
            if survived.is_err() {
                let kept = std::env::temp_dir().join(format!("pourcard-{name}.seed"));
                std::fs::write(&kept, &data).unwrap();
                panic!("{name} broke; what broke it is in {}", kept.display());
            }
            runs += 1;
        }
        if seconds > 0.0 {
            println!("{name}: {runs} mutated seeds in {seconds} s");
        }
    }
}

/// Xorshift64* (Vigna 2016).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() >> 33) as usize % n.max(1)
    }
}

/// Bits of text that mean something to one target or another.
const WORDS: [&str; 18] = [
    "0", "-1", "1e999", "1e-320", "NaN", "null", "true", "{}", "[]", "\"\"", ",", ".", "\u{2212}",
    "\n", "\\", "\"by\":", "percent", "unknown",
];

/// A seed with one to eight changes.
fn mutated(seeds: &[Vec<u8>], random: &mut Random) -> Vec<u8> {
    let mut data = seeds[random.below(seeds.len())].clone();
    for _ in 0..=random.below(8) {
        let at = random.below(data.len() + 1);
        match random.below(7) {
            0 if at < data.len() => data[at] ^= 1 << random.below(8),
            1 if at < data.len() => data[at] = random.next() as u8,
            2 => data.insert(at, random.next() as u8),
            3 => {
                let end = (at + random.below(16)).min(data.len());
                data.drain(at..end);
            }
            4 => {
                let word = WORDS[random.below(WORDS.len())].as_bytes();
                data.splice(at..at, word.iter().copied());
            }
            // A number in a text, by another.
            5 => {
                if let Some(from) = data[at..].iter().position(u8::is_ascii_digit) {
                    let from = at + from;
                    let digits = data[from..].iter().take_while(|b| b.is_ascii_digit());
                    let to = from + digits.count();
                    let word = WORDS[random.below(6)].as_bytes();
                    data.splice(from..to, word.iter().copied());
                }
            }
            _ => {
                let other = &seeds[random.below(seeds.len())];
                let from = random.below(other.len() + 1);
                let to = (from + random.below(64)).min(other.len());
                data.splice(at..at, other[from..to].iter().copied());
            }
        }
    }
    data.truncate(LONGEST);
    data
}
