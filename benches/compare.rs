//! Invented bags for the shipped albums, on all cores.
//!
//! `cargo bench --bench compare` judges 10,000 bags for each album: sizes spread over widths from 3
//! to 13 in and heights from 5 to 19 in, on a 1/16 in grid and on none, gussets and ± here and
//! there; of these most do not fit. Then 10,000 near the album's own bag, of which most do. It says
//! what shares fit and do not (the rest cannot hold what the album tucks in), and of the small
//! programs what share was solved anew.
//! With `-- --million` it streams a million of each and says how much memory was used at most; with
//! `-- --sample DIR` it writes the preferences of fifty bags that fit as files and prints what all
//! of their answers took, which `benches/highs.py` compares. `-- --threads N` uses so many threads,
//! and `-- --only near` judges only the bags that are so called.

#[path = "../tests/common/mod.rs"]
mod common;

use common::dice::Dice;
use rayon::prelude::*;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};
use tuckwright::album::Album;
use tuckwright::compare::{Answer, Asked, Judge};
use tuckwright::length::{Interval, Length};
use tuckwright::program::Stage;
use tuckwright::solve::mps::write_mps;
use tuckwright::solve::{Limits, Verdict, solve, stage_program};
use tuckwright::style::Style;
use tuckwright::supplies::{Bag, Bottom};

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const SHIPPED: [&str; 2] = ["low-water", "hut-book"];
const SIXTEENTH: i64 = 1_587_500;
/// Bags that are handed to the threads together.
const TOGETHER: usize = 1_000;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |word: &str| {
        let at = words.iter().position(|it| it == word)?;
        Some(words.get(at + 1).map_or("", String::as_str))
    };
    if let Some(threads) = after("--threads").and_then(|n| n.parse().ok()) {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build_global().expect("threads");
    }
    let style = common::upright();
    if let Some(folder) = after("--sample") {
        return sample(&style, Path::new(folder));
    }
    let count = match after("--million") {
        Some(_) => 1_000_000,
        None => 10_000,
    };
    for name in SHIPPED {
        for spread in [Spread::Grid, Spread::NoGrid, Spread::Near] {
            if after("--only").is_some_and(|only| !spread.words().contains(only)) {
                continue;
            }
            judge(&style, name, spread, count);
        }
    }
}

/// The leaf that holds the photo which the album prefers.
fn of_the_photo(name: &str) -> &'static str {
    if name == "low-water" { "shore" } else { "week" }
}

fn bag_of_the_photo<'a>(album: &'a Album, name: &str) -> &'a Bag {
    let leaf = album.leaves.iter().find(|it| it.name == of_the_photo(name));
    &album.supplies.bags[leaf.expect("it is there").bag]
}

/// Which bags are judged.
#[derive(Clone, Copy)]
enum Spread {
    Grid,
    NoGrid,
    /// From a twentieth smaller to a third larger than the album's own, on no grid.
    Near,
}

impl Spread {
    fn words(self) -> &'static str {
        match self {
            Spread::Grid => "on a 1/16 in grid",
            Spread::NoGrid => "on no grid",
            Spread::Near => "near its own",
        }
    }
}

/// An invented bag, one of four known to ± 1/16 in; over a spread three of four have a gusset.
fn bag(dice: &mut Dice, like: &Bag, spread: Spread) -> Bag {
    let play = if dice.chance(25) { SIXTEENTH } else { 0 };
    let about = |nm: i64| {
        let play = Length::from_nm(play);
        Interval::plus_minus(Length::from_nm(nm), play).expect("a bag is larger than its play")
    };
    let exact = |nm: i64| Interval::exact(Length::from_nm(nm));
    let mut nm = |least: i64, most: i64| match spread {
        Spread::Grid => dice.between(least, most) * SIXTEENTH,
        Spread::NoGrid | Spread::Near => dice.between(least * SIXTEENTH, most * SIXTEENTH),
    };
    let (width, height) = (nm(3 * 16, 13 * 16), nm(5 * 16, 19 * 16));
    let gusset = nm(16, 6 * 16).min(height / 2 / SIXTEENTH * SIXTEENTH);
    if matches!(spread, Spread::Near) {
        let mut near = |it: Interval| {
            let nm = it.middle().nm();
            dice.between(nm / 20 * 19, nm / 20 * 27)
        };
        let mut other = like.clone();
        (other.width, other.height) = (about(near(like.width)), about(near(like.height)));
        other.gusset = like.gusset.map(|it| exact(near(it)));
        if let Some(pocket) = &mut other.pocket {
            pocket.edge = exact(near(pocket.edge));
            pocket.depth = pocket.depth.map(|it| exact(near(it)));
        }
        return other;
    }
    Bag {
        width: about(width),
        height: about(height),
        gusset: dice.chance(75).then_some(exact(gusset)),
        bottom: Bottom::Block,
        pocket: None,
        folded: None,
        front_depth: None,
        back_depth: None,
        caliper: None,
        flap_layers: None,
        squeezed: None,
        ..like.clone()
    }
}

fn judge(style: &Style, name: &str, spread: Spread, count: usize) {
    let album = common::shipped(name);
    let leaf = match spread {
        Spread::Near => Some(of_the_photo(name)),
        Spread::Grid | Spread::NoGrid => None,
    };
    let asked = Asked::new(style, &album, leaf).expect("it is right");
    let like = bag_of_the_photo(&album, name);
    let judge = Judge::new(&asked, &Limits::default());
    let mut dice = Dice::new(11);
    let (mut done, mut fit, mut clash) = (0, 0, 0);
    let (mut spent, busy) = (Duration::ZERO, processor());
    while done < count {
        let bags: Vec<Bag> = (0..TOGETHER.min(count - done))
            .map(|_| bag(&mut dice, like, spread))
            .collect();
        let since = Instant::now();
        let answers: Vec<Answer> = bags.par_iter().map(|bag| judge.answer(bag)).collect();
        spent += since.elapsed();
        done += bags.len();
        fit += answers
            .iter()
            .filter(|it| matches!(it, Answer::Fits(_)))
            .count();
        clash += answers
            .iter()
            .filter(|it| matches!(it, Answer::Clash(_)))
            .count();
    }
    let share = |part: u64, of: u64| 100.0 * part as f64 / of.max(1) as f64;
    let counts = judge.counts();
    println!(
        "{name}, {}: {done} bags in {:.2} s on {} threads ({:.0} us of a processor each); {:.1} % fit, {:.1} % clash; \
         {:.1} % of the programs solved as a whole; of {} small programs {:.2} % solved anew; at most {} MB",
        spread.words(),
        spent.as_secs_f64(),
        rayon::current_num_threads(),
        (processor() - busy) * 1e6 / done as f64,
        share(fit as u64, done as u64),
        share(clash as u64, done as u64),
        share(counts.whole, counts.programs),
        counts.parts,
        share(counts.anew, counts.parts),
        peak() / 1024,
    );
}

/// Seconds that this program kept processors busy, in hundredths; nothing where the system does not
/// say.
fn processor() -> f64 {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let words = stat.rsplit(')').next().unwrap_or("").split_whitespace();
    let ticks = words
        .skip(11)
        .take(2)
        .filter_map(|word| word.parse::<f64>().ok());
    ticks.sum::<f64>() / 100.0
}

/// The most memory that this program held so far (KiB); nothing where the system does not say.
fn peak() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let words = line.and_then(|line| line.split_whitespace().next());
    words.and_then(|word| word.parse().ok()).unwrap_or(0)
}

/// Writes the preferences of bags that fit, and prints what a bag's took here: its rules laid again,
/// its answer with its reasons, everything, on one thread.
fn sample(style: &Style, folder: &Path) {
    fs::create_dir_all(folder).expect("a folder");
    for name in SHIPPED {
        let album = common::shipped(name);
        let asked = Asked::new(style, &album, Some(of_the_photo(name))).expect("it is right");
        let judge = Judge::new(&asked, &Limits::default());
        let mut dice = Dice::new(12);
        let (mut bags, mut stages) = (Vec::new(), 0);
        while bags.len() < 50 {
            let bag = bag(&mut dice, bag_of_the_photo(&album, name), Spread::Near);
            let Ok((_, expanded)) = asked.expanded(&bag) else {
                continue;
            };
            let solution = solve(&expanded.program, &Limits::default());
            if solution.verdict != Verdict::FitsBest {
                continue;
            }
            for (at, stage) in expanded.program.stages.iter().enumerate() {
                if matches!(stage, Stage::Best { .. }) {
                    let model = stage_program(&expanded.program, &solution, at);
                    let mps = write_mps(&model.expect("it was settled")).expect("small numbers");
                    let file = format!("{name}.{}.{at}.mps", bags.len());
                    fs::write(folder.join(file), mps.text).expect("a file");
                    stages += 1;
                }
            }
            bags.push(bag);
        }
        let since = Instant::now();
        for bag in &bags {
            std::hint::black_box(judge.answer(bag));
        }
        let all = since.elapsed().as_secs_f64() * 1e6;
        println!("{name} {stages} {all:.1} {:.1}", all / f64::from(stages));
    }
}
