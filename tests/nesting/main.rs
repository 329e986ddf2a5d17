//! Cutting sheets: published cases, a plain reference that tries every cut at every tick, mutated
//! certificates, and properties of proved optima.

mod certificates;
mod claims;
mod edges;
mod facts;
mod keeping;
mod kept;
mod last_cuts;
mod leaving;
mod many;
mod narrow;
mod plain;
mod properties;
mod reference;
mod searched;
mod stopped;
mod sums;
mod trees;

use tuckwright::nest::{Job, Limits, Piece, Stages, Stock, Trim};

/// A piece that may not be turned.
pub fn piece(width: u64, height: u64, count: u64) -> Piece {
    Piece {
        name: format!("{width} x {height}"),
        width,
        height,
        count,
        turn: false,
        value: None,
        most_alike: None,
    }
}

/// As many sheets as are wanted.
pub fn stock(width: u64, height: u64) -> Stock {
    Stock {
        name: format!("{width} x {height}"),
        width,
        height,
        count: None,
        cost: 1,
        turn: true,
        trim: Trim::default(),
    }
}

pub fn job(pieces: Vec<Piece>, stocks: Vec<Stock>, stages: Stages) -> Job {
    Job {
        pieces,
        stocks,
        stages,
        gap: 0,
        narrowest: 0,
    }
}

pub fn turned(mut job: Job) -> Job {
    job.pieces.iter_mut().for_each(|p| p.turn = true);
    job
}

/// Limits that no clock decides.
pub fn limits() -> Limits<'static> {
    Limits {
        nodes: 20_000,
        clock: std::time::Duration::from_secs(3_600),
        ..Limits::default()
    }
}

/// Numbers that are the same on every machine.
pub struct Dice(pub u64);

impl Dice {
    pub fn throw(&mut self, least: u64, most: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        least + (self.0 >> 11) % (most - least + 1)
    }
}
