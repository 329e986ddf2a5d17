//! Cutting lists from a folder: how many are settled in which time, and how many sheets they take.
//!
//! `cargo bench --bench cutting -- FOLDER [SECONDS]`
//!
//! The folder holds `album/*.csv` (`name,width,height,count`; sheets of 12 x 12 in, each list once
//! with its directions kept and once turned freely), `album-best.csv` (`case,turn,area_bound,lower,
//! upper,first_fit`), `gcut/*.csv` (`name,width,height`) and `gcut-best.csv` (`case,sheet_mm,
//! best_area_fixed,best_area_turned`). Without a folder, lists are drawn.
//!
//! `cargo bench --bench cutting -- classes [SECONDS] [free|three|two] [EACH] [NAME]`
//!
//! Draws the classes of `classes.rs`, `EACH` jobs (2) for each number of pieces, and tells for each
//! class how many are proved, the sum of the sheets and of the bounds, and the processor time. With
//! `NAME`, only the classes whose names hold it, and each job by itself.
//!
//! `cargo bench --bench cutting -- left FOLDER [free|three|two]`
//!
//! What the lists of the folder leave in one piece (an inch or more each way), before and after it is
//! looked for within 20,000 nodes.
//!
//! Seconds are those of the processor where it counts them for a thread, else of the clock.

mod classes;

use std::collections::HashMap;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use tuckwright::nest::{
    Answer, Job, Limits, Piece, Reason, Stages, Stock, Trim, check_bound, check_kept, fill, keep,
    solve, verify, verify_fill,
};

const WITHIN: [f64; 5] = [0.1, 1.0, 2.0, 8.0, 60.0];

fn main() {
    let mut arguments = std::env::args().skip(1).filter(|a| a != "--bench");
    let folder = arguments.next();
    let seconds = arguments
        .next()
        .and_then(|s| s.parse().ok())
        .unwrap_or(60.0);
    match folder {
        Some(word) if word == "left" => {
            // The folder stands where seconds do else.
            let mut words = std::env::args().skip_while(|a| a != "left").skip(1);
            let folder = words.next().expect("a folder");
            left(Path::new(&folder), stages_of(words.next().as_deref()));
        }
        Some(folder) if folder == "classes" => {
            let stages = stages_of(arguments.next().as_deref());
            let each = arguments.next().map_or(2, |e| e.parse().expect("a number"));
            let names: Vec<String> = arguments.collect();
            drawn_classes(stages, seconds, each, &names);
        }
        Some(folder) => {
            let folder = Path::new(&folder);
            fills(folder);
            for stages in [Stages::Free, Stages::Three, Stages::Two] {
                lists(folder, stages, seconds);
            }
        }
        None => drawn(),
    }
}

/// A length in sixteenths of an inch, or in millimetres.
fn ticks(text: &str) -> u64 {
    let text = text.trim();
    if let Some(mm) = text.strip_suffix("mm") {
        return mm.trim().parse().expect("whole millimetres");
    }
    let inches = text.strip_suffix("in").expect("a length in mm or in");
    let each = inches
        .split_whitespace()
        .map(|part| match part.split_once('/') {
            Some((over, under)) => {
                let (over, under): (u64, u64) = (over.parse().unwrap(), under.parse().unwrap());
                assert_eq!(16 % under, 0, "finer than a sixteenth: {text}");
                over * 16 / under
            }
            None => part.parse::<u64>().unwrap() * 16,
        });
    each.sum()
}

fn read(path: &Path, turn: bool) -> Vec<Piece> {
    let text = std::fs::read_to_string(path).unwrap();
    let lines = text.lines().skip(1).filter(|l| !l.trim().is_empty());
    lines
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            Piece {
                name: fields[0].to_owned(),
                width: ticks(fields[1]),
                height: ticks(fields[2]),
                count: fields.get(3).map_or(1, |c| c.trim().parse().unwrap()),
                turn,
                value: None,
                most_alike: None,
            }
        })
        .collect()
}

fn one_sheet(pieces: Vec<Piece>, width: u64, height: u64, stages: Stages) -> Job {
    let stock = Stock {
        name: "sheet".to_owned(),
        width,
        height,
        count: None,
        cost: 1,
        turn: true,
        trim: Trim::default(),
    };
    Job {
        pieces,
        stocks: vec![stock],
        stages,
        gap: 0,
        narrowest: 0,
    }
}

/// What many runs came to.
#[derive(Default)]
struct Sum {
    runs: u64,
    proved: u64,
    within: [u64; WITHIN.len()],
    sheets: u64,
    bounds: u64,
    plain: u64,
    searched: u64,
    far: u64,
    worse: u64,
    seconds: f64,
}

/// Seconds that the processor has worked for this thread; `None` where nobody counts them.
fn worked(stat: &Path) -> Option<f64> {
    let text = std::fs::read_to_string(stat).ok()?;
    let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
    (nanoseconds > 0.0).then_some(nanoseconds / 1e9)
}

/// An answer within so many seconds of the processor, and how many it took.
fn timed(job: &Job, seconds: f64) -> (Answer, f64) {
    let own = std::fs::read_link("/proc/thread-self").unwrap_or_default();
    let stat = Path::new("/proc").join(own).join("schedstat");
    let start = Instant::now();
    let begin = worked(&stat);
    let took = || match (worked(&stat), begin) {
        (Some(now), Some(begin)) => now - begin,
        _ => start.elapsed().as_secs_f64(),
    };
    let (stop, done) = (AtomicBool::new(false), AtomicBool::new(false));
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                std::thread::sleep(Duration::from_millis(5));
                stop.store(took() >= seconds, Ordering::Relaxed);
            }
        });
        let limits = Limits {
            nodes: u64::MAX,
            clock: Duration::MAX,
            cancel: Some(&stop),
            ..Limits::default()
        };
        let answer = solve(job, &limits).expect("a valid job");
        let took = took();
        done.store(true, Ordering::Relaxed);
        (answer, took)
    })
}

impl Sum {
    fn run(&mut self, job: &Job, seconds: f64, known: Option<u64>) -> (Answer, f64) {
        let (answer, took) = timed(job, seconds);
        verify(job, &answer).expect("a plan that can be cut");
        check_bound(job, &answer.certificate).expect("a bound that follows");
        self.runs += 1;
        self.seconds += took;
        self.sheets += answer.sheets();
        self.bounds += answer.lower_bound;
        self.plain += answer.first_fit.unwrap_or(0);
        self.searched += u64::from(matches!(answer.certificate.reason, Reason::Search { .. }));
        self.far += u64::from(answer.sheets() > answer.lower_bound + 1);
        self.worse += u64::from(known.is_some_and(|known| answer.sheets() > known));
        if answer.proved() {
            self.proved += 1;
            for (count, within) in self.within.iter_mut().zip(WITHIN) {
                *count += u64::from(took <= within);
            }
        }
        (answer, took)
    }

    fn add(&mut self, other: &Self) {
        self.runs += other.runs;
        self.proved += other.proved;
        let within = self.within.iter_mut().zip(other.within);
        within.for_each(|(own, other)| *own += other);
        self.sheets += other.sheets;
        self.bounds += other.bounds;
        self.plain += other.plain;
        self.searched += other.searched;
        self.far += other.far;
        self.worse += other.worse;
        self.seconds += other.seconds;
    }

    fn tell(&self, name: &str) {
        let within = self.within.iter().zip(WITHIN);
        let within: Vec<String> = within.map(|(n, s)| format!("{n} in {s} s")).collect();
        println!(
            "{name}: {} runs, {} proved ({}); {} sheets, bounds {}, first-fit decreasing {}; \
             {} bounds by search, {} more than one above the bound, {} worse than known; {:.1} s",
            self.runs,
            self.proved,
            within.join(", "),
            self.sheets,
            self.bounds,
            self.plain,
            self.searched,
            self.far,
            self.worse,
            self.seconds,
        );
    }
}

fn drawn_classes(stages: Stages, seconds: f64, each: u64, names: &[String]) {
    let mut all = Sum::default();
    for class in &classes::CLASSES {
        if !names.is_empty() && !names.iter().any(|name| class.0.contains(name)) {
            continue;
        }
        let mut sum = Sum::default();
        for (number, job) in classes::jobs(class, stages, each).enumerate() {
            let (answer, took) = sum.run(&job, seconds, None);
            if !names.is_empty() {
                let (sheets, bound) = (answer.sheets(), answer.lower_bound);
                let (kinds, turn) = (job.pieces.len(), job.pieces[0].turn);
                println!(
                    "  {number}: {kinds} sizes, turned {turn}: {sheets} sheets, bound {bound}, \
                     {took:.2} s"
                );
            }
        }
        sum.tell(class.0);
        all.add(&sum);
    }
    all.tell("all classes");
}

fn lists(folder: &Path, stages: Stages, seconds: f64) {
    let best = std::fs::read_to_string(folder.join("album-best.csv")).unwrap_or_default();
    let known: HashMap<(String, bool), u64> = best
        .lines()
        .skip(1)
        .map(|line| {
            let f: Vec<&str> = line.split(',').collect();
            ((f[0].to_owned(), f[1] == "yes"), f[4].parse().unwrap())
        })
        .collect();
    let Ok(entries) = std::fs::read_dir(folder.join("album")) else {
        return;
    };
    let mut paths: Vec<_> = entries.map(|e| e.unwrap().path()).collect();
    paths.sort();
    let mut sum = Sum::default();
    for path in &paths {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        for turn in [false, true] {
            let job = one_sheet(read(path, turn), 192, 192, stages);
            // What is known is for free cuts.
            let known = known.get(&(name.clone(), turn)).copied();
            sum.run(&job, seconds, known.filter(|_| stages == Stages::Free));
        }
    }
    sum.tell(&format!("lists, {stages:?}"));
}

fn stages_of(word: Option<&str>) -> Stages {
    match word {
        None | Some("free") => Stages::Free,
        Some("three") => Stages::Three,
        Some("two") => Stages::Two,
        Some(other) => panic!("no such stages: {other}"),
    }
}

/// What is left in one piece, before and after it is looked for.
fn left(folder: &Path, stages: Stages) {
    let entries = std::fs::read_dir(folder.join("album")).expect("a folder of lists");
    let mut paths: Vec<_> = entries.map(|e| e.unwrap().path()).collect();
    paths.sort();
    let limits = Limits {
        nodes: 20_000,
        ..Limits::default()
    };
    let (mut runs, mut proved, mut before, mut after) = (0u64, 0, 0, 0);
    let mut took = Duration::ZERO;
    for path in &paths {
        for turn in [false, true] {
            let job = one_sheet(read(path, turn), 192, 192, stages);
            let answer = solve(&job, &Limits::default()).expect("a valid job");
            let start = Instant::now();
            let kept = keep(&job, &answer.cuttings, 16, &limits).expect("a plan");
            took += start.elapsed();
            check_kept(&job, &kept).expect("a plan and a proof that hold");
            let each = answer.cuttings.iter();
            let each = each.filter_map(|c| c.sheet.largest_offcut(16));
            before += each.map(|(w, h)| w * h).max().unwrap_or(0);
            after += kept.size.0 * kept.size.1;
            proved += u64::from(kept.proved);
            runs += 1;
        }
    }
    let sheet = |area: u64| area as f64 / (192.0 * 192.0 * runs as f64);
    println!(
        "left in one piece, {stages:?}: {runs} runs, {proved} proved; {:.3} of a sheet before, {:.3} after; {:.1} s by the clock",
        sheet(before),
        sheet(after),
        took.as_secs_f64()
    );
}

fn fills(folder: &Path) {
    let Ok(best) = std::fs::read_to_string(folder.join("gcut-best.csv")) else {
        return;
    };
    for line in best.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let sides: Vec<u64> = fields[1]
            .split('x')
            .map(|s| s.trim().parse().unwrap())
            .collect();
        for (turn, value) in [(false, fields[2]), (true, fields[3])] {
            let path = folder.join("gcut").join(format!("{}.csv", fields[0]));
            let job = one_sheet(read(&path, turn), sides[0], sides[1], Stages::Free);
            let start = Instant::now();
            let found = fill(&job, &Limits::default()).expect("a valid job");
            let took = start.elapsed();
            verify_fill(&job, &found).expect("a sheet that can be cut");
            let same = if found.value.to_string() == value.trim() {
                "as published"
            } else {
                "NOT as published"
            };
            println!(
                "{} turned {turn}: {} {same}, {took:.1?}",
                fields[0], found.value
            );
        }
    }
}

/// Numbers that are the same on every machine.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, least: u64, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        least + (self.0 >> 11) % (most - least + 1)
    }
}

/// Lists of several kinds, drawn: sheet, sizes, sides, counts.
fn drawn() {
    for (name, side, sizes, sides, counts) in [
        ("albums, sixteenths", 192, (3, 12), (14, 110), (1, 24)),
        ("small pieces, sixteenths", 192, (3, 10), (12, 60), (1, 60)),
        ("millimetres", 305, (5, 15), (30, 200), (1, 30)),
        ("sixty-fourths", 768, (3, 12), (60, 440), (1, 24)),
        ("one of each", 100, (20, 60), (1, 100), (1, 1)),
        ("thousands", 1_000, (20, 40), (100, 700), (1, 100)),
    ] {
        let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
        let mut sum = Sum::default();
        for number in 0..12 {
            let count = dice.throw(sizes.0, sizes.1);
            let pieces = (0..count).map(|at| Piece {
                name: at.to_string(),
                width: dice.throw(sides.0, sides.1),
                height: dice.throw(sides.0, sides.1),
                count: dice.throw(counts.0, counts.1),
                turn: number % 2 == 1,
                value: None,
                most_alike: None,
            });
            let job = one_sheet(pieces.collect(), side, side, Stages::Free);
            sum.run(&job, 8.0, None);
        }
        sum.tell(name);
    }
}
