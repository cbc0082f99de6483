//! How long it takes to say how sure a dose is: the demo's half-pint of curd, 13 numbers uncertain.
//!
//! Target: 10,000 runs of the jar with indices, intervals and hold under 1 s on two cores. 512 rows
//! are some 9,000 runs, by products alone but for 32 of them and the case as written.

use divan::{Bencher, black_box};
use jarwright_kitchen::files::read_jar_study;
use jarwright_kitchen::sure::{Effort, how_sure};

const CASE: &str = include_str!("../../../demo/jars/lime-curd.toml");

fn main() {
    divan::main();
}

#[divan::bench(args = [512, 1024], sample_count = 15, sample_size = 1)]
fn sure(bencher: Bencher, rows: usize) {
    let Ok(study) = read_jar_study("case", CASE) else {
        return;
    };
    bencher.bench_local(|| how_sure(black_box(&study), Effort { rows, seed: 1 }));
}
