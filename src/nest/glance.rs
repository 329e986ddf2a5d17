//! Quick looks at large boards: patterns for the linear program from tables in small numbers with few
//! cuts, and from plain grids. What is proved never rests on them.

use super::answer::Stop;
use super::board::Board;
use super::bound::least_cost;
use super::columns::{Pool, Program, Relaxed};
use super::lp::Optimum;
use super::rest::worth;
use super::table;

impl Pool<'_, '_> {
    /// Good patterns for these values, fast: those that save something are added. `clip`: they are
    /// worth no more than what is wanted, and what there is too much of is valued less.
    pub fn glance(
        &mut self,
        boards: &[Option<Board>],
        program: &mut Program,
        optimum: &Optimum,
        clip: bool,
    ) -> Result<bool, Stop> {
        let exact = program.values(optimum);
        let mut new = false;
        for (stock, board) in boards.iter().enumerate() {
            let Some(board) = board.as_ref().filter(|_| self.same[stock] == stock) else {
                continue;
            };
            let mut values = exact.clone();
            for _ in 0..3 {
                let mut too_many = false;
                for layout in table::glance(board, &values, self.meter)? {
                    let number = self.keep(stock, layout);
                    let counts = self.patterns[number].counts.clone();
                    let own = if clip {
                        program.rest.clipped(stock, &counts)
                    } else {
                        counts.clone()
                    };
                    for (kind, (count, own)) in counts.iter().zip(&own).enumerate() {
                        if own < count {
                            values[kind] = values[kind].min(exact[kind] / count * own);
                            too_many = true;
                        }
                    }
                    let worth = u64::try_from(worth(&exact, &own)).unwrap_or(u64::MAX);
                    if program.saves(stock, worth, optimum) {
                        new |= self.add_twins(program, number, clip);
                    }
                }
                if new || !too_many {
                    break;
                }
            }
        }
        Ok(new)
    }

    /// For each way of laying a kind, rows and columns of it alone.
    pub fn grids(&mut self, boards: &[Option<Board>], program: &mut Program) {
        for (stock, board) in boards.iter().enumerate() {
            let Some(board) = board.as_ref().filter(|_| self.same[stock] == stock) else {
                continue;
            };
            for (way, own) in board.ways.iter().enumerate() {
                let layout = table::grid(board, way, program.rest.wanted[own.kind]);
                let number = self.keep(stock, layout);
                self.add_twins(program, number, true);
            }
        }
    }

    /// Adds a pattern for its stock and for all later ones with the same board.
    fn add_twins(&mut self, program: &mut Program, number: usize, clip: bool) -> bool {
        let stock = self.patterns[number].stock;
        let mut new = program.add(&self.patterns[number], number, clip);
        for twin in stock + 1..self.same.len() {
            if self.same[twin] == stock {
                let layout = self.patterns[number].layout.clone();
                let number = self.keep(twin, layout);
                new |= program.add(&self.patterns[number], number, clip);
            }
        }
        new
    }
}

impl Program<'_> {
    /// The linear program as if no pattern made the plan cheaper.
    pub fn relaxed_so_far(self, optimum: Optimum, values: Vec<u64>, open: bool) -> Relaxed {
        let prices = (0..self.places.len()).map(|stock| self.price(stock, &optimum));
        let best: Vec<u64> = prices.map(|price| price + price / 200_000).collect();
        let demand = worth(&values, &self.rest.wanted);
        Relaxed {
            least: least_cost(&self.rest.sheets, &best, demand),
            optimum,
            columns: self.columns,
            values,
            best,
            open,
        }
    }
}
