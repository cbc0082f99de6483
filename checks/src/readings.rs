//! Reading a log: files as loggers write them, held against print and general-purpose libraries.
//!
//! Curves that no source prints are made from exact series, which `heat` holds against libraries,
//! and written as a logger would: in tenths of a degree, in steps of time.

use jarwright_figure::Mark;
use jarwright_heat::HeatError;
use jarwright_heat::cooling_clock::Stages;
use jarwright_heat::exact::{FiniteCylinder, Series, Shape};
use jarwright_stove::{Asked, Fit, ReadError, Report, cells, read};

use crate::{Check, Worst};

/// Every check of reading.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        rfc_cells(),
        integrals(),
        long_cylinder(),
        glass_jars(),
        roberts_logs(),
        chart_forecast(),
    ]
}

fn log(text: &str, asked: &Asked) -> Result<Report, ReadError> {
    read(&|| Ok(Box::new(text.as_bytes())), asked)
}

fn passed(worst: &Worst, tolerance: f64) -> bool {
    worst.points > 0 && worst.miss <= tolerance
}

fn rfc_cells() -> Check {
    let mut worst = Worst::default();
    let vectors: [(&[u8], &[&[&str]]); 4] = [
        (b"\"a\"\"b\"\r\n", &[&["a\"b"]]),
        (b"\"x,y\",z\r\n", &[&["x,y", "z"]]),
        (
            b"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx",
            &[&["aaa", "b\nbb", "ccc"], &["zzz", "yyy", "xxx"]],
        ),
        (
            b"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
            &[&["aaa", "bbb", "ccc"], &["zzz", "yyy", "xxx"]],
        ),
    ];
    for (bytes, wanted) in vectors {
        worst.add_answer(cells(bytes, b',').is_ok_and(|got| got == wanted));
    }
    Check {
        name: "log-cells",
        claim: "quoted cells, doubled quotation marks and line ends inside quotes are read as the memo has them",
        source: "rfc_4180",
        place: "section 2, rules 1 to 7",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "1",
        why: "the same cells or not",
        passed: passed(&worst, 0.0),
        note: "a line end inside quotes is given on as one line feed, however it was written".into(),
    }
}

fn integrals() -> Check {
    /// Minutes 16 to 60 of the report in `f0_report_slow_heating` [°C].
    const REPORT_C: [f64; 45] = [
        100.9, 102.0, 103.1, 104.1, 104.9, 105.8, 106.5, 107.2, 107.8, 108.4, 108.9, 109.4, 109.8, 110.2, 110.6, 110.9,
        111.2, 111.5, 111.8, 112.1, 112.3, 112.5, 112.7, 112.9, 113.1, 113.2, 113.4, 113.5, 113.6, 113.8, 113.9, 114.0,
        114.1, 114.1, 114.2, 114.3, 114.4, 114.4, 114.5, 114.6, 114.6, 114.7, 114.7, 114.7, 114.8,
    ];
    let puree = "Time (min)\tCan centre (°F)\n0\t80\n15\t165\n25\t201\n30\t212.5\n40\t225\n50\t230.5\n64\t235\n";
    let report: String = REPORT_C
        .iter()
        .enumerate()
        .map(|(i, c)| {
            format!("2026-03-14 10:{:02};{}\n", 16 + i, c.to_string().replace('.', ",")).replace("10:60", "11:00")
        })
        .collect();
    let asked = |lethality: &str| Asked {
        lethality: vec![lethality.into()],
        ..Asked::default()
    };
    let dose = |text: &str, lethality: &str| {
        log(text, &asked(lethality)).map_or((f64::NAN, f64::NAN), |report| {
            let dose = &report.probes[0].doses[0];
            (dose.total_min(), dose.total_trapezoid_min())
        })
    };
    let mut worst = Worst::default();
    let (exact, trapezoid) = dose(puree, "250F:18F");
    worst.add(exact, 2.384_517);
    worst.add(trapezoid, 2.502_729);
    let (_, trapezoid) = dose(&format!("Time;Centre (°C)\n{report}"), "121.1:10");
    worst.add(trapezoid, 5.8959);
    let tolerance = 6e-5;
    Check {
        name: "log-integrals",
        claim: "a log in °F by tabs and one in °C with decimal commas give the library's exact and trapezoid integrals",
        source: "scipy_mpmath",
        place: "curves of geankoplis example 9.12-2 and of f0_report_slow_heating, integrated numerically",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "given to four decimals and more",
        passed: passed(&worst, tolerance),
        note: "the curves' printed results are held elsewhere; this holds the reader and its running sums".into(),
    }
}

/// A heating log in 100 °C from 20 °C: what is left of the difference as `theta` of time [s].
fn heating_log(step_s: f64, many: u32, theta: impl Fn(f64) -> Result<f64, HeatError>) -> Result<String, HeatError> {
    let mut text = String::from("Seconds,Centre (°C)\n");
    for i in 0..many {
        let t_s = step_s * f64::from(i);
        // Before the series is any good the centre has not moved.
        let left = theta(t_s).or_else(|fault| if i < many / 8 { Ok(1.0) } else { Err(fault) })?;
        text += &format!("{t_s},{:.1}\n", 100.0 - 80.0 * left);
    }
    Ok(text)
}

fn heating_fit(text: Result<String, HeatError>) -> Option<Fit> {
    let asked = Asked {
        medium_at: Some("100C".into()),
        ..Asked::default()
    };
    log(&text.ok()?, &asked).ok()?.probes.first()?.heating.clone().ok()
}

/// Diffusivities of foods [m²/s].
const DIFFUSIVITIES: [f64; 3] = [1.25e-7, 1.4e-7, 1.6e-7];

fn long_cylinder() -> Check {
    let mut worst = Worst::default();
    for (radius_m, diffusivity) in [0.02_f64, 0.03, 0.04].into_iter().zip(DIFFUSIVITIES) {
        let scale_s = radius_m * radius_m / diffusivity;
        let series = Series::new(Shape::Cylinder, f64::INFINITY);
        let text = series
            .and_then(|series| heating_log(20.0, (0.6 * scale_s / 20.0) as u32, |t| series.theta(t / scale_s, 0.0)));
        let fit = heating_fit(text);
        worst.add_relative(fit.as_ref().map_or(f64::NAN, |fit| fit.line.f_s / scale_s), 0.398);
        worst.add_relative(fit.as_ref().map_or(f64::NAN, |fit| fit.lag.0), 1.6);
    }
    let tolerance = 0.05 / 1.6;
    Check {
        name: "log-long-cylinder",
        claim: "f and j fitted to logs of long cylinders are the printed f = 0.398 r²/a and j = 1.6",
        source: "drusas_saravacos_1985",
        place: "equation of the heating line of a long cylinder",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "1.6 is printed to one decimal",
        passed: passed(&worst, tolerance),
        note: "the curves are exact series in tenths of a degree, every 20 s; no printed example gives both its \
               readings and its f and j"
            .into(),
    }
}

fn glass_jars() -> Check {
    /// No fit: infinitely far off.
    const NONE: f64 = f64::INFINITY;
    /// Inner radius [mm], food's height [mm], f [min] for the three diffusivities.
    const JARS: [(f64, f64, [f64; 3]); 3] = [
        (26.0, 55.0, [26.0, 23.2, 20.3]),
        (32.0, 80.0, [42.7, 38.1, 33.4]),
        (38.0, 110.0, [63.7, 56.9, 49.8]),
    ];
    let mut worst = Worst::default();
    let mut apart = (0.0_f64, 0.0_f64);
    for (radius_mm, height_mm, f_min) in JARS {
        for (diffusivity, f_min) in DIFFUSIVITIES.into_iter().zip(f_min) {
            let scale_s = (radius_mm / 1000.0_f64).powi(2) / diffusivity;
            let jar = FiniteCylinder::new(f64::INFINITY, 0.5 * height_mm / radius_mm);
            let text =
                jar.and_then(|jar| heating_log(30.0, (3.0 * f_min) as u32 * 2, |t| jar.theta(t / scale_s, 0.0, 0.0)));
            let fit = heating_fit(text);
            let (f_s, (low, high), lag) = fit.map_or((NONE, (NONE, NONE), (NONE, NONE, NONE)), |fit| {
                (fit.line.f_s, fit.line.f_between_s, fit.lag)
            });
            worst.add_inside(f_min, low / 60.0, high / 60.0);
            worst.add_inside(2.040, lag.1, lag.2);
            apart.0 = apart.0.max((f_s / 60.0 / f_min - 1.0).abs());
            apart.1 = apart.1.max((lag.0 / 2.040 - 1.0).abs());
        }
    }
    Check {
        name: "log-glass-jars",
        claim: "f and j of jars that conduct, by their first eigenvalues, lie inside the 95 % intervals fitted to their logs",
        source: "scipy_mpmath",
        place: "jars of 4 oz, half-pint and pint with ideal contact, diffusivities 1.25, 1.4 and 1.6e-7 m²/s",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "min and 1",
        why: "inside the interval",
        passed: passed(&worst, 0.0),
        note: format!(
            "logs in tenths of a degree, every half minute; the values themselves are at most {:.1} % off in f and \
             {:.1} % in j, since no stretch of a real curve is quite straight",
            100.0 * apart.0,
            100.0 * apart.1
        ),
    }
}

fn roberts_logs() -> Check {
    let mut worst = Worst::default();
    for film in [12.0, 16.0, 20.0] {
        for (depth_m, air_c, met) in [
            (0.051_f64, -20.0, true),
            (0.076, -20.0, false),
            (0.051, 3.0, false),
            (0.076, 3.0, false),
        ] {
            let half_m = 0.5 * depth_m;
            let scale_s = half_m * half_m / 1.4e-7;
            let series = Series::new(Shape::Slab, film * half_m / 0.55);
            let text = series.and_then(|series| {
                let mut text = String::from("Date;Time;Sauce (°F)\n");
                for step in 0..144_u32 {
                    let left = if step == 0 {
                        1.0
                    } else {
                        series.theta(300.0 * f64::from(step) / scale_s, 0.0)?
                    };
                    let c = air_c + (57.2 - air_c) * left;
                    let minute = 18 * 60 + 5 * step;
                    let (day, hour) = (14 + minute / 1440, minute / 60 % 24);
                    let (clock, half) = ((hour + 11) % 12 + 1, if hour < 12 { "AM" } else { "PM" });
                    text += &format!("3/{day}/2026;{clock}:{:02} {half};{:.1}\n", minute % 60, 1.8 * c + 32.0);
                }
                Ok(text)
            });
            let stages = text
                .ok()
                .and_then(|text| log(&text, &Asked::default()).ok())
                .map(|report| report.probes[0].stages);
            worst.add_answer(stages.is_some_and(|stages| (stages == Stages::Met) == met));
        }
    }
    Check {
        name: "log-cooling-verdicts",
        claim: "logs of pans 51 and 76 mm deep meet both cooling limits only at 51 mm in a freezer",
        source: "roberts_2013",
        place: "abstract: chili and tomato sauce, uncovered, walk-in cooler and freezer",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "1",
        why: "met or not, for every film that a cold room's moving air may give",
        passed: passed(&worst, 0.0),
        note: "logs in °F, every 5 min, on a 12-hour clock over midnight; their curves are exact series with air at \
               3 and -20 °C, since the measured ones are not printed in the abstract"
            .into(),
    }
}

fn chart_forecast() -> Check {
    let mut worst = Worst::default();
    let text = "Time (min)|Food (°F)\n0|135\n60|102.6\n";
    for sink in ["36F", "41F"] {
        let asked = Asked {
            cooling_at: Some(sink.into()),
            ..Asked::default()
        };
        let forecast = log(text, &asked)
            .ok()
            .and_then(|report| report.probes[0].forecast.clone()?.ok());
        let to_21_min = forecast
            .and_then(|forecast| forecast.to_21_s)
            .map_or(f64::NAN, |to| to.0 / 60.0);
        worst.add(to_21_min, 165.0);
    }
    let tolerance = 5.0;
    Check {
        name: "log-cooling-forecast",
        claim: "a log that ends after an hour on a county chart's straight line is forecast to reach 70 °F only after \
                about 165 min",
        source: "cooling_arithmetic",
        place: "cooling towards 36 and 41 °F",
        mark: Mark::Computed,
        measured_or_printed: false,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "given as about 165 min for both sinks, which lie 6 min apart",
        passed: passed(&worst, tolerance),
        note: "the chart's own line says 120 min".into(),
    }
}
