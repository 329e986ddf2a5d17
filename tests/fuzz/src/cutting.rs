//! Cutting: plans are walked, bounds replayed; small jobs are compared with every cut at every tick.

use crate::Dice;
use crate::leaving::most_left;
use crate::reference::{least_cost, small_job};
use std::time::Duration;
use tuckwright::cut::work::{Batch, Patience, WorkError, work};
use tuckwright::cut::{Answer, Order, Paper, Sheets, Trimmer, Want, fill, offcuts};
use tuckwright::draw;
use tuckwright::length::{Length, Ruler, Unit};
use tuckwright::nest::{
    self, Job, KeepError, Limits, Piece, Stages, Stock, Trim, Verdict, check_bound, check_kept,
    keep, verify, verify_fill,
};
use tuckwright::report;
use tuckwright::text::{Faults, Files, Place};

fn limits(nodes: u64) -> Limits<'static> {
    Limits {
        nodes,
        clock: Duration::from_secs(3_600),
        ..Limits::default()
    }
}

const STAGES: [Stages; 3] = [Stages::Free, Stages::Three, Stages::Two];

/// Sides on a ruler of this many steps; all that a job can say, wrong things too.
fn any_job(dice: &mut Dice, longest: u64) -> Job {
    let narrowest = if dice.chance(25) {
        dice.throw(0, longest / 4)
    } else {
        0
    };
    let none = u64::from(!dice.chance(3));
    let pieces = (0..dice.throw(1, 6)).map(|at| Piece {
        name: format!("p{at}"),
        width: dice.throw(none, longest),
        height: dice.throw(1, longest),
        count: dice.throw(none, 12),
        turn: dice.chance(50),
        value: dice.chance(20).then(|| dice.throw(0, 1_000)),
        most_alike: dice.chance(10).then(|| dice.throw(0, 4)),
    });
    let pieces = pieces.collect();
    let stocks = (0..dice.throw(1, 3)).map(|at| Stock {
        name: format!("s{at}"),
        width: longest / 2 + dice.throw(0, longest),
        height: longest / 2 + dice.throw(0, longest),
        count: dice.chance(40).then(|| dice.throw(0, 4)),
        cost: dice.throw(1, 4),
        turn: dice.chance(70),
        trim: Trim {
            left: dice.throw(0, longest / 16),
            bottom: dice.throw(0, longest / 16),
            ..Trim::default()
        },
    });
    let stocks = stocks.collect();
    Job {
        pieces,
        stocks,
        stages: *dice.pick(&STAGES),
        gap: if dice.chance(30) {
            dice.throw(0, longest / 20 + 1)
        } else {
            0
        },
        narrowest,
    }
}

/// A job: what is answered is verified; a small one is compared with the plain reference.
pub fn job(bytes: &[u8]) {
    let mut dice = Dice::of(bytes);
    let small = dice.chance(60);
    let (mut job, longest) = match small {
        true => (small_job(&mut dice), 8),
        false => {
            let longest = *dice.pick(&[12, 40, 100, 300, 5_000, 100_000]);
            (any_job(&mut dice, longest), longest)
        }
    };
    if small && dice.chance(20) {
        job.pieces[0].most_alike = Some(dice.throw(1, 3));
    }
    let nodes = *dice.pick(&[5_000, 5_000, 0, 1, 20, 300]);
    let answer = match nest::solve(&job, &limits(nodes)) {
        Ok(answer) => answer,
        Err(errors) => {
            let _ = errors.iter().map(ToString::to_string).count();
            return;
        }
    };
    verify(&job, &answer).unwrap_or_else(|e| panic!("{e}\n{job:?}"));
    check_bound(&job, &answer.certificate).unwrap_or_else(|e| panic!("{e}\n{job:?}"));
    let alike = job.pieces.iter().any(|p| p.most_alike.is_some());
    if small && !alike {
        let least = least_cost(&job);
        match answer.verdict {
            Verdict::Proved => assert_eq!(answer.cost(&job), least, "{job:?}"),
            Verdict::NotEnough => assert_eq!(least, None, "{job:?}"),
            Verdict::Found => assert!(least >= Some(answer.lower_bound), "{job:?}"),
            Verdict::Undecided => {
                assert!(least.is_none_or(|l| l >= answer.lower_bound), "{job:?}");
                assert!(
                    nodes < 5_000 || least.is_none(),
                    "a plan was missed: {job:?}"
                );
            }
        }
    }
    if nodes < 5_000 {
        let again = nest::solve(&job, &limits(nodes));
        assert_eq!(again, Ok(answer.clone()), "{job:?}");
    }
    if !answer.cuttings.is_empty() {
        let least = dice.throw(0, longest / 4);
        match keep(&job, &answer.cuttings, least, &limits(nodes)) {
            Ok(kept) => {
                check_kept(&job, &kept).unwrap_or_else(|e| panic!("{e}\n{job:?}\n{kept:?}"));
                if small && !alike {
                    let most = most_left(&job, &answer.cuttings, kept.least);
                    let own = kept.size.0 * kept.size.1;
                    assert!(own <= most, "{job:?}\n{kept:?}");
                    assert!(!kept.proved || own == most, "{job:?}\n{kept:?}");
                }
            }
            Err(KeepError::Job(errors)) => panic!("{errors:?}\n{job:?}"),
            Err(KeepError::Cuttings(error)) => panic!("{error}\n{job:?}"),
        }
    }
    if dice.chance(50)
        && let Ok(fill) = nest::fill(&job, &limits(nodes))
    {
        verify_fill(&job, &fill).unwrap_or_else(|e| panic!("{e}\n{job:?}"));
    }
}

fn length(dice: &mut Dice, inch: bool, most: i64) -> Length {
    let step = match (inch, dice.between(0, 5)) {
        (_, 0) => 1,
        (true, _) => 1_587_500,
        (false, _) => 500_000,
    };
    let most = most * 1_000_000;
    Length::from_nm(dice.between(1, (most / step).min(65_535)) * step)
}

/// An order: papers that share pieces, offcuts, a blade; small.
fn any_order(dice: &mut Dice) -> (Order, Ruler) {
    let inch = dice.chance(50);
    let ruler = match inch {
        true => Ruler::parse("1/16 in"),
        false => Ruler::parse("0.5 mm"),
    };
    let papers = (0..dice.throw(1, 3)).map(|at| Paper {
        name: format!("paper {at}"),
        directed: dice.chance(30),
        sheets: (0..dice.throw(1, 2))
            .map(|n| Sheets {
                width: length(dice, inch, 320),
                height: length(dice, inch, 320),
                count: dice.chance(40).then(|| dice.throw(1, 3)),
                offcut: n > 0 && dice.chance(50),
                place: Place::default(),
            })
            .collect(),
    });
    let papers: Vec<Paper> = papers.collect();
    let wants = (0..dice.throw(1, 5)).map(|at| {
        let all: Vec<usize> = (0..papers.len()).collect();
        let first = dice.throw(0, papers.len() as u64 - 1) as usize;
        Want {
            album: 0,
            name: format!("piece {at}"),
            leaf: String::new(),
            place: Place::default(),
            width: length(dice, inch, 200),
            height: length(dice, inch, 200),
            count: dice.throw(1, 6),
            turn: dice.chance(60),
            value: dice.chance(20).then(|| dice.throw(1, 1_000)),
            papers: if dice.chance(30) { all } else { vec![first] },
            most_alike: dice.chance(15).then(|| dice.throw(1, 3)),
            loose: dice.chance(20),
            twice_off: 0,
        }
    });
    let wants = wants.collect();
    let mut some = |percent, most| match dice.chance(percent) {
        true => length(dice, inch, most),
        false => Length::ZERO,
    };
    let trimmer = Trimmer {
        trim: some(20, 10),
        gap: some(30, 4),
        narrowest: some(20, 30),
    };
    let order = Order {
        papers,
        wants,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer,
    };
    (order, ruler.expect("a ruler"))
}

/// An order drawn from bytes.
pub fn order(bytes: &[u8]) {
    let mut dice = Dice::of(bytes);
    let (order, ruler) = any_order(&mut dice);
    let stages = dice.chance(30).then(|| *dice.pick(&STAGES));
    let milliseconds = *dice.pick(&[200, 0, 20, 400]);
    told(&order, stages, ruler, milliseconds);
}

/// A list of pieces that was read, cut from these sheets.
pub fn listed(wants: Vec<Want>) {
    let side = |mm: i64| Length::from_nm(mm * Length::MM.nm());
    let sheets = vec![Sheets {
        width: side(300),
        height: side(400),
        count: None,
        offcut: false,
        place: Place::default(),
    }];
    let order = Order {
        papers: vec![Paper {
            name: String::new(),
            directed: false,
            sheets,
        }],
        wants,
        any_paper: Vec::new(),
        from_left: Vec::new(),
        trimmer: Trimmer::default(),
    };
    let ruler = Ruler::new(Length::MM, Unit::Millimetre).expect("a ruler");
    let few = order.wants.len() < 8 && order.wants.iter().map(|w| w.count).sum::<u64>() < 40;
    told(&order, None, ruler, if few { 100 } else { 0 });
}

/// Works an order out and says it in every way; nothing where it cannot be cut.
pub fn told(order: &Order, stages: Option<Stages>, ruler: Ruler, milliseconds: u64) {
    let patience = Patience {
        typed: None,
        time: Duration::from_millis(milliseconds),
        cancel: None,
        told: None,
    };
    match work(order, stages, ruler, &patience) {
        Ok(batches) => reported(order, &batches, stages, ruler),
        Err(error) => refused(order, error),
    }
    if order.papers.len() == 1 && order.papers[0].sheets.len() == 1 {
        match fill::fill(order, stages, ruler, &patience) {
            Ok((each, chosen)) => {
                let said = (&each, chosen);
                let _ = report::cut::fill::text("a list", ruler, order, said);
                let json = report::json::cut::fill("a list", ruler, order, said);
                serde_json::from_str::<serde_json::Value>(&json).expect("JSON");
            }
            Err(error) => refused(order, error),
        }
    }
}

fn refused(order: &Order, error: WorkError) {
    match error {
        WorkError::Faults(errors) => {
            let faults: Faults = errors.into_iter().map(|e| Box::new(e) as _).collect();
            let mut files = Files::default();
            // As long as any place in a list that was read.
            files.add("pieces.csv", " ".repeat(1 << 16));
            crate::readers::shown(&files, &faults);
        }
        WorkError::Defect(why) => panic!("{why}\n{order:?}"),
    }
}

fn reported(order: &Order, batches: &[Batch], asked: Option<Stages>, ruler: Ruler) {
    let left = offcuts::left(order, batches, ruler);
    let answer = Answer {
        order,
        batches,
        left: &left,
        asked,
    };
    for batch in batches {
        for way in &batch.ways {
            assert!(way.sheets.is_none_or(|n| n >= way.least || !way.proved));
        }
    }
    let plans = || batches.iter().flat_map(|batch| &batch.plan().papers);
    let _ = report::cut::text("a list", ruler, answer);
    let _ = report::cut::csv::text(ruler, order, plans());
    let json = report::json::cut::plan("a list", ruler, answer, 0);
    serde_json::from_str::<serde_json::Value>(&json).expect("JSON");
    if let Some(mut text) = offcuts::supplies("a list", order, &left, ruler) {
        // The papers themselves are in the maker's own file.
        for paper in order.papers.iter().filter(|paper| !paper.name.is_empty()) {
            text += &format!(
                "\n[[paper]]\nname = \"{}\"\nsize = \"9 x 9 in\"\n",
                paper.name
            );
        }
        crate::readers::read_supplies(text.as_bytes()).expect("offcuts are supplies");
    }
    for (_, page) in draw::sheets::pages("a list", ruler, order, &mut plans()) {
        let _ = draw::svg::file(&page);
    }
}
