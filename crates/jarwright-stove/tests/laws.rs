//! Laws of a reader: what must hold for every log.

use jarwright_stove::{Asked, Report, read};
use proptest::prelude::*;

fn asked() -> Asked {
    Asked {
        lethality: vec!["80C:10C".into(), "60C:7C".into()],
        ..Asked::default()
    }
}

fn log(text: &str) -> Option<Report> {
    read(&|| Ok(Box::new(text.as_bytes())), &asked()).ok()
}

fn text(readings: &[(u32, f64)]) -> String {
    readings
        .iter()
        .fold("Seconds,Centre (°C)\n".to_owned(), |text, (t, c)| {
            text + &format!("{t},{c}\n")
        })
}

fn exact(report: &Report, target: usize) -> f64 {
    report.probes[0].doses[target].total_min()
}

/// A walk that heats and cools no faster than a kitchen, a reading each ten seconds.
fn walk() -> impl Strategy<Value = Vec<(u32, f64)>> {
    (30.0..90.0_f64, proptest::collection::vec(-4.0..4.0_f64, 4..60)).prop_map(|(start, steps)| {
        let mut c = start;
        let first = std::iter::once((0, start));
        let rest = steps.into_iter().enumerate().map(|(i, step)| {
            c = (c + step).clamp(0.0, 120.0);
            (10 * (i as u32 + 1), (c * 100.0).round() / 100.0)
        });
        first.chain(rest.collect::<Vec<_>>()).collect()
    })
}

proptest! {
    #[test]
    fn two_halves_add_up_to_the_whole(readings in walk(), share in 0.2..0.8_f64) {
        let cut = ((readings.len() as f64 * share) as usize).clamp(1, readings.len() - 2);
        let whole = log(&text(&readings));
        let halves = (log(&text(&readings[..=cut])), log(&text(&readings[cut..])));
        let (Some(whole), (Some(first), Some(second))) = (whole, halves) else {
            return Err(TestCaseError::fail("a log was refused"));
        };
        for target in 0..2 {
            let sum = exact(&first, target) + exact(&second, target);
            prop_assert!((sum - exact(&whole, target)).abs() <= 1e-9 * (1.0 + sum));
        }
    }

    #[test]
    fn points_on_the_straight_line_change_the_exact_integral_by_nothing(readings in walk()) {
        let mut denser = Vec::new();
        for pair in readings.windows(2) {
            denser.push(pair[0]);
            denser.push((pair[0].0 + 5, 0.5 * (pair[0].1 + pair[1].1)));
        }
        denser.extend(readings.last());
        let (Some(coarse), Some(fine)) = (log(&text(&readings)), log(&text(&denser))) else {
            return Err(TestCaseError::fail("a log was refused"));
        };
        for target in 0..2 {
            let (a, b) = (exact(&coarse, target), exact(&fine, target));
            prop_assert!((a - b).abs() <= 1e-9 * (1.0 + a), "{a} {b}");
            let trapezoids = (coarse.probes[0].doses[target].total_trapezoid_min(), fine.probes[0].doses[target].total_trapezoid_min());
            prop_assert!(a <= trapezoids.1 * (1.0 + 1e-12) && trapezoids.1 <= trapezoids.0 * (1.0 + 1e-12));
        }
    }

    #[test]
    fn heating_and_cooling_are_the_whole_and_time_above_is_inside_it(readings in walk()) {
        let Some(report) = log(&text(&readings)) else { return Err(TestCaseError::fail("refused")) };
        let probe = &report.probes[0];
        for dose in &probe.doses {
            prop_assert!(dose.heating_min >= 0.0 && dose.cooling_min >= 0.0);
            prop_assert!(dose.above_s <= probe.counted_s + 1e-9 && probe.counted_s <= report.told.long_s + 1e-9);
        }
    }

    #[test]
    fn a_hotter_log_is_worth_more(readings in walk(), rise in 0.1..5.0_f64) {
        let hotter: Vec<(u32, f64)> = readings.iter().map(|&(t, c)| (t, c + rise)).collect();
        let (Some(a), Some(b)) = (log(&text(&readings)), log(&text(&hotter))) else {
            return Err(TestCaseError::fail("a log was refused"));
        };
        // The lethal rate's own law: so many kelvin more, so many times more.
        prop_assert!((exact(&b, 0) / exact(&a, 0) / 10_f64.powf(rise / 10.0) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        let _ = read(&|| Ok(Box::new(bytes.as_slice())), &asked());
    }

    #[test]
    fn nothing_that_looks_like_a_log_makes_it_panic(
        head in "(Time|Date,Time|Seconds|t|No\\.,Time)?[,;\t| ]?[A-C]? ?(\\(°[CF]\\))?",
        rows in proptest::collection::vec("[0-9:/. T\",;|Zap+-]{0,30}", 0..30),
        zero in proptest::option::of("[0-9:/ smin-]{0,12}"),
        medium in proptest::option::of("[A-C1-9]"),
    ) {
        let text = format!("{head}\n{}", rows.join("\n"));
        for lethality in ["80:10", "80C:10C"] {
            let asked = Asked {
                zero: zero.clone(),
                medium: medium.clone(),
                lethality: vec![lethality.into()],
                unit: Some(jarwright_stove::Degrees::Celsius),
                dates: Some(jarwright_stove::DateOrder::DayMonthYear),
                ..Asked::default()
            };
            if let Ok(report) = read(&|| Ok(Box::new(text.as_bytes())), &asked) {
                let _ = report.figures();
            }
        }
    }

    #[test]
    fn a_log_with_anything_done_to_it_does_not_make_it_panic(
        readings in walk(),
        at in 0_usize..2000,
        put in proptest::collection::vec(any::<u8>(), 0..8),
        cut in 0_usize..40,
    ) {
        let mut bytes = text(&readings).into_bytes();
        let at = at.min(bytes.len());
        let end = (at + cut).min(bytes.len());
        bytes.splice(at..end, put);
        if let Ok(report) = read(&|| Ok(Box::new(bytes.as_slice())), &asked()) {
            let _ = report.figures();
        }
    }
}
