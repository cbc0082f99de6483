//! How fast a log is read: both passes, with lethality, faults, cooling clock and fits.
//!
//! Target: 1 000 000 rows in a second on one core of a two-core server, two probes and the bath,
//! one lethality. `cargo bench -p jarwright-stove`.

use std::io::{BufRead, Read};

use divan::counter::ItemsCount;
use jarwright_stove::{Asked, read};

fn main() {
    divan::main();
}

/// A log made as it is read: bath and two probes, a reading each second, day after day.
struct Made {
    row: u64,
    rows: u64,
    style: Style,
    buffer: Vec<u8>,
    at: usize,
}

#[derive(Clone, Copy, Debug)]
enum Style {
    Iso,
    DayMonth,
    Seconds,
}

impl Made {
    fn new(rows: u64, style: Style) -> Self {
        let head: &[u8] = match style {
            Style::Iso => b"Time,Bath (\xC2\xB0C),Centre 1 (\xC2\xB0C),Centre 2 (\xC2\xB0C)\n",
            Style::DayMonth => b"Date;Bath (\xC2\xB0C);Centre 1 (\xC2\xB0C);Centre 2 (\xC2\xB0C)\n",
            Style::Seconds => b"Seconds\tBath (\xC2\xB0C)\tCentre 1 (\xC2\xB0C)\tCentre 2 (\xC2\xB0C)\n",
        };
        Self {
            row: 0,
            rows,
            style,
            buffer: head.to_vec(),
            at: 0,
        }
    }

    fn fill(&mut self) {
        use std::io::Write;
        self.buffer.clear();
        self.at = 0;
        while self.row < self.rows && self.buffer.len() < 60_000 {
            let t = self.row as f64;
            let bath = 100.0 - 0.2 * (t / 7.0).sin() * (t / 11.0).cos();
            let one = 100.0 - 30.0 * (-t / 2000.0).exp();
            let two = 100.0 - 40.0 * (-t / 1500.0).exp();
            let (day, second) = (self.row / 86_400, self.row % 86_400);
            let (h, m, s) = (second / 3600, second / 60 % 60, second % 60);
            // From the 13th on, so that the file itself proves its order.
            let (month, day) = (1 + day / 16 % 12, 13 + day % 16);
            let _ = match self.style {
                Style::Iso => writeln!(
                    self.buffer,
                    "2026-{month:02}-{day:02}T{h:02}:{m:02}:{s:02}Z,{bath:.2},{one:.2},{two:.2}"
                ),
                Style::DayMonth => writeln!(
                    self.buffer,
                    "{day:02}.{month:02}.2026 {h:02}:{m:02}:{s:02};{};{};{}",
                    comma(bath),
                    comma(one),
                    comma(two)
                ),
                Style::Seconds => writeln!(self.buffer, "{}\t{bath:.2}\t{one:.2}\t{two:.2}", self.row),
            };
            self.row += 1;
        }
    }
}

fn comma(value: f64) -> String {
    format!("{value:.2}").replace('.', ",")
}

impl Read for Made {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        let from = self.fill_buf()?;
        let many = from.len().min(into.len());
        into[..many].copy_from_slice(&from[..many]);
        self.consume(many);
        Ok(many)
    }
}

impl BufRead for Made {
    fn fill_buf(&mut self) -> std::io::Result<&[u8]> {
        if self.at >= self.buffer.len() {
            self.fill();
        }
        Ok(&self.buffer[self.at..])
    }

    fn consume(&mut self, many: usize) {
        self.at += many;
    }
}

fn asked() -> Asked {
    Asked {
        medium: Some("bath".into()),
        lethality: vec!["93.3:8.9".into()],
        ..Asked::default()
    }
}

/// Target: 1 000 000 rows/s, made beforehand so that only the reading is timed.
#[divan::bench(args = [Style::Iso, Style::DayMonth, Style::Seconds], sample_count = 5)]
fn a_million_rows(bencher: divan::Bencher, style: Style) {
    let rows = 1_000_000_u64;
    let mut text = Vec::new();
    let _ = Made::new(rows, style).read_to_end(&mut text);
    bencher.counter(ItemsCount::new(rows)).bench_local(|| {
        read(&|| Ok(Box::new(text.as_slice())), &asked())
            .map(|report| report.told.rows)
            .ok()
    });
}

/// Ten million rows that nowhere exist at once: memory stays where it was. Making them is timed too.
#[divan::bench(sample_count = 1, sample_size = 1)]
fn ten_million_rows_made_as_they_are_read(bencher: divan::Bencher) {
    let rows = 10_000_000_u64;
    bencher.counter(ItemsCount::new(rows)).bench_local(|| {
        let report = read(&|| Ok(Box::new(Made::new(rows, Style::Iso))), &asked());
        let memory = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let peak = memory.lines().find(|line| line.starts_with("VmHWM"));
        println!("peak memory of this process: {}", peak.unwrap_or("not known"));
        report.map(|report| report.told.rows).ok()
    });
}
