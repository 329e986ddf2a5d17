//! Pieces that are moved about one by one.

use super::super::answer::Cutting;
use super::super::job::{Job, Piece, Stock, Trim};
use super::super::layout::{Hand, realize};
use super::super::limits::Limits;
use super::super::verify::verify_cuttings;
use super::*;

fn job(cost: u64) -> Job {
    let piece = |width, height| Piece {
        name: String::new(),
        width,
        height,
        count: 3,
        turn: true,
        value: None,
        most_alike: None,
    };
    Job {
        pieces: vec![piece(7, 4), piece(5, 5)],
        stocks: vec![Stock {
            name: String::new(),
            width: 10,
            height: 10,
            count: None,
            cost,
            turn: true,
            trim: Trim::default(),
        }],
        stages: Stages::Free,
        gap: 0,
        narrowest: 0,
    }
}

fn go_on(job: &Job, budget: u64, limits: &Limits) -> Result<bool, Stop> {
    let mut meter = Meter::new(limits);
    let model = Model::new(job, false, &mut Meter::new(&Limits::default()));
    let model = model.expect("time").expect("a model");
    let mut refill = Refill::new(&model, &Rest::whole(&model)).expect("few pieces");
    let found = refill.go_on(budget, 50, &mut meter)?;
    Ok(found.is_some())
}

/// Pieces are put beside waste that the trimmer cuts off, or close together.
#[test]
fn no_strip_is_narrower_than_the_trimmer_holds() {
    let mut dice = Dice(0x51a9_0c3d_77e1_2b4f);
    let mut full = 0;
    for number in 0..300 {
        let mut job = job(1);
        job.stages = [Stages::Two, Stages::Three, Stages::Free][number % 3];
        job.gap = dice.throw(3) as u64;
        job.narrowest = 2 + dice.throw(6) as u64;
        for stock in &mut job.stocks {
            stock.width = 60 + dice.throw(40) as u64;
            stock.height = 60 + dice.throw(40) as u64;
        }
        let more = job.pieces.clone().into_iter().cycle().take(5);
        job.pieces = more.collect();
        for piece in &mut job.pieces {
            piece.width = 10 + dice.throw(30) as u64;
            piece.height = 10 + dice.throw(40) as u64;
            piece.turn = dice.throw(2) == 0;
        }
        if job.check().is_err() {
            continue;
        }
        let model = Model::new(&job, false, &mut Meter::new(&Limits::default()));
        let model = model.expect("time").expect("a model");
        let mut refill = Refill::new(&model, &Rest::whole(&model)).expect("few pieces");
        let mut hand = Hand::new(&job);
        // One sheet less than the last time, as long as all finds room.
        for budget in (2..8).rev() {
            let mut meter = Meter::new(&Limits::default());
            let found = refill.go_on(budget, 20, &mut meter).expect("time");
            let Some(sheets) = found else {
                break;
            };
            full += 1;
            hand.left = job.pieces.iter().map(|p| p.count).collect();
            let each = sheets.iter().map(|(stock, layout)| Cutting {
                stock: *stock,
                times: 1,
                sheet: realize(&model, *stock, layout, &mut hand),
            });
            let cuttings: Vec<Cutting> = each.collect();
            let cost = verify_cuttings(&job, &cuttings);
            let within = matches!(cost, Ok(cost) if cost <= u128::from(budget));
            assert!(within, "{number}: {cost:?}\n{job:#?}");
        }
    }
    assert!(full > 300, "{full}");
}

/// A budget for no sheet at all once went round for ever, without asking the meter.
#[test]
fn a_budget_for_no_sheet_ends_at_once() {
    let limits = Limits::default();
    assert_eq!(go_on(&job(1), 0, &limits), Ok(false));
    assert_eq!(go_on(&job(5), 4, &limits), Ok(false));
    assert_eq!(go_on(&job(1), 6, &limits), Ok(true));
}

#[test]
fn rounds_without_a_piece_on_any_sheet_are_counted() {
    // One sheet holds two pieces of six: nodes run out.
    assert_eq!(go_on(&job(1), 1, &Limits::default()), Ok(false));
    let none = Limits {
        nodes: 0,
        ..Limits::default()
    };
    assert_eq!(go_on(&job(1), 1, &none), Err(Stop::Nodes));
}
