//! Logs as kitchens have them: every writing of one log is one report, what is open is asked.

use jarwright_stove::{Asked, DateOrder, DecimalMark, Degrees, FaultKind, ReadError, Report, TimesCount, read};

fn asked() -> Asked {
    Asked {
        lethality: vec!["90C:10C".into()],
        ..Asked::default()
    }
}

fn try_log(log: &[u8], asked: &Asked) -> Result<Report, ReadError> {
    read(&|| Ok(Box::new(log)), asked)
}

fn log(text: &str) -> Result<Report, String> {
    log_with(text, &asked())
}

fn log_with(text: &str, asked: &Asked) -> Result<Report, String> {
    try_log(text.as_bytes(), asked).map_err(|error| format!("{error} ({})\n{text}", error.hint()))
}

/// The option that answers, or what came instead of a question.
fn question(text: &str, asked: &Asked) -> String {
    match try_log(text.as_bytes(), asked) {
        Err(ReadError::Question { option, .. }) => option.to_owned(),
        Err(other) => format!("error: {other}"),
        Ok(_) => "an answer".to_owned(),
    }
}

/// Lethality of the first probe [min] and its hottest temperature.
fn told(report: &Report) -> (f64, f64) {
    let probe = &report.probes[0];
    (probe.doses[0].total_min(), probe.hottest.map_or(f64::NAN, |p| p.c))
}

/// Ten minutes at 85, 90, 95, 90 °C, a reading each five minutes.
const TEMPS: [f64; 4] = [85.5, 90.0, 95.25, 90.0];

fn same(text: &str, with: &Asked) -> Result<(), String> {
    let wanted = told(&log("Time (min),Centre (°C)\n0,85.5\n5,90\n10,95.25\n15,90\n")?);
    let got = told(&log_with(text, with)?);
    if (got.0 - wanted.0).abs() < 1e-9 && (got.1 - wanted.1).abs() < 1e-9 {
        Ok(())
    } else {
        Err(format!("{got:?} instead of {wanted:?} from\n{text}"))
    }
}

#[test]
fn every_delimiter_and_decimal_mark_gives_the_same_report() -> Result<(), String> {
    for (cell, mark) in [
        (",", "."),
        (";", "."),
        (";", ","),
        ("\t", ","),
        ("|", "."),
        ("|", ","),
        ("   ", "."),
        (" ", ","),
    ] {
        let row = |t: usize| format!("{}{cell}{}\n", 5 * t, TEMPS[t].to_string().replace('.', mark));
        let rows: String = (0..4).map(row).collect();
        let head = if cell.trim().is_empty() && cell != "\t" {
            "Minutes Centre_°C".into()
        } else {
            format!("Time (min){cell}Centre (°C)")
        };
        same(&format!("{head}\n{rows}"), &asked())?;
        same(&format!("{head}\r\n{}", rows.replace('\n', "\r\n")), &asked())?;
    }
    same(
        "\"Time (min)\",\"Centre, jar 3 (°C)\"\n\"0\",\"85,5\"\n\"5\",\"90\"\n\"10\",\"95,25\"\n\"15\",\"90\"\n",
        &asked(),
    )
}

#[test]
fn every_writing_of_the_times_gives_the_same_report() -> Result<(), String> {
    let logs = |times: [&str; 4], head: &str| {
        let rows: String = (0..4).map(|i| format!("{},{}\n", times[i], TEMPS[i])).collect();
        format!("{head},Centre (°C)\n{rows}")
    };
    for (head, times) in [
        (
            "Time",
            [
                "2026-03-14T23:55:00Z",
                "2026-03-15T00:00:00Z",
                "2026-03-15T00:05:00Z",
                "2026-03-15T00:10:00Z",
            ],
        ),
        (
            "Time",
            [
                "2026-03-14T23:55:00+01:00",
                "2026-03-15T00:00:00+01:00",
                "2026-03-15T00:05:00+01:00",
                "2026-03-15T00:10:00+01:00",
            ],
        ),
        (
            "Time",
            [
                "2026-03-29T00:55:00+00:00",
                "2026-03-29T02:00:00+01:00",
                "2026-03-29T02:05:00+01:00",
                "2026-03-29T02:10:00+01:00",
            ],
        ),
        (
            "Date,Time",
            [
                "14/03/2026,23:55:00",
                "15/03/2026,00:00:00",
                "15/03/2026,00:05:00",
                "15/03/2026,00:10:00",
            ],
        ),
        (
            "Date,Time",
            [
                "3/14/2026,11:55 PM",
                "3/15/2026,12:00 AM",
                "3/15/2026,12:05 AM",
                "3/15/2026,12:10 AM",
            ],
        ),
        ("Time", ["23:55:00", "00:00:00", "00:05:00", "00:10:00"]),
        (
            "Time",
            ["11:55:00.0 pm", "12:00:00.0 am", "12:05:00.0 am", "12:10:00.0 am"],
        ),
        ("Seconds", ["0", "300", "600", "900"]),
        (
            "Elapsed (h)",
            ["0", "0.08333333333333333", "0.16666666666666666", "0.25"],
        ),
        (
            "Elapsed",
            ["00:00:00.000", "00:05:00.000", "00:10:00.000", "00:15:00.000"],
        ),
    ] {
        let text = logs(times, head);
        let shortest = same(&text, &asked());
        if head == "Elapsed (h)" {
            // Hours in decimals are not whole milliseconds.
            assert!(
                (told(&log(&text)?).0 - told(&log("Time (min),C (°C)\n0,85.5\n5,90\n10,95.25\n15,90\n")?).0).abs()
                    < 1e-6
            );
        } else {
            shortest?;
        }
    }
    let minutes = Asked {
        times: Some(TimesCount::Minutes),
        ..asked()
    };
    same(&logs(["0:00", "5:00", "10:00", "15:00"], "Time"), &minutes)?;
    same(&logs(["0", "5", "10", "15"], "Time"), &minutes)
}

#[test]
fn lines_above_and_below_the_table_and_blank_ones_do_not_matter() -> Result<(), String> {
    same(
        "Logger;model\nSerial no.;12345\nOperator;A. Person\nStart;2026-03-14 09:00\n\nTime;Centre;Bath\nmin;°C;°C\n\
         0;85.5;100\n5;90;100\n\n10;95.25;100\n15;90;100\n\nEnd of data\nChecksum;9F\n",
        &asked(),
    )?;
    same(
        "\u{feff}No.,Time (min),Centre (°C),Battery (V)\n1,0,85.5,3.6\n2,5,90,3.6\n3,10,95.25,3.6\n4,15,90,3.6\n",
        &asked(),
    )?;
    let latin: Vec<u8> = "Time (min);Centre (\u{b0}C)\n0;85,5\n5;90\n10;95,25\n15;90\n"
        .chars()
        .map(|c| c as u8)
        .collect();
    let got = try_log(&latin, &asked()).map_err(|e| e.to_string())?;
    assert_eq!(got.told.script, "Latin-1");
    assert!((told(&got).1 - 95.25).abs() < 1e-9);
    Ok(())
}

#[test]
fn fahrenheit_and_celsius_of_one_log_agree() -> Result<(), String> {
    let rows: String = (0..4)
        .map(|i| format!("{},{}\n", 5 * i, TEMPS[i] * 1.8 + 32.0))
        .collect();
    same(&format!("Time (min),Centre (°F)\n{rows}"), &asked())?;
    same(&format!("Unit: °F\nTime (min),Centre\n{rows}"), &asked())?;
    let told_unit = Asked {
        unit: Some(Degrees::Fahrenheit),
        ..asked()
    };
    same(&format!("Time (min),Centre\n{rows}"), &told_unit)
}

#[test]
fn what_cannot_be_known_is_asked_with_the_option_that_answers() {
    let plain = asked();
    let rows = "2026-03-14 10:00,180\n2026-03-14 10:05,181\n";
    assert_eq!(
        question(&format!("Time,Centre\n{rows}"), &plain),
        "--unit c or --unit f"
    );
    let dates = "Time,Centre (°C)\n3/4/2026 10:00,80\n3/4/2026 10:05,81\n";
    assert!(question(dates, &plain).starts_with("--dates dmy or --dates mdy"));
    let comma = "Time (s);Centre (°C)\n0;85,312\n10;85,412\n";
    assert_eq!(question(comma, &plain), "--decimal comma or --decimal point");
    let bare = "Time,Centre (°C)\n0,80\n10,81\n";
    assert_eq!(question(bare, &plain), "--times s, min, h or d");
    let clock = "Time,Centre (°C)\n0:00,80\n0:30,81\n1:00,82\n";
    assert_eq!(question(clock, &plain), "--times min, --times h or --times clock");
    for (text, answered) in [
        (
            dates,
            Asked {
                dates: Some(DateOrder::DayMonthYear),
                ..asked()
            },
        ),
        (
            comma,
            Asked {
                decimal: Some(DecimalMark::Comma),
                ..asked()
            },
        ),
        (
            bare,
            Asked {
                times: Some(TimesCount::Seconds),
                ..asked()
            },
        ),
        (
            clock,
            Asked {
                times: Some(TimesCount::Hours),
                ..asked()
            },
        ),
    ] {
        assert_eq!(question(text, &answered), "an answer");
    }
}

#[test]
fn only_what_the_file_proves_is_inferred_wherever_it_stands() -> Result<(), String> {
    // The proof stands far behind the quarter of a megabyte that decides the layout.
    let mut text = String::from("Time;Centre (°C)\n");
    for minute in 0..14_400 {
        let (day, h, m) = (3 + minute / 1440, minute / 60 % 24, minute % 60);
        text += &format!("04/{day:02}/2026 {h:02}:{m:02};80\n");
    }
    assert!(question(&text, &asked()).starts_with("--dates"));
    text += "04/13/2026 00:00;80,5\n";
    let report = log(&text)?;
    assert_eq!(report.told.order.map(|o| o.0), Some(DateOrder::MonthDayYear));
    assert_eq!(report.told.decimal, DecimalMark::Comma);
    let wrong = Asked {
        dates: Some(DateOrder::DayMonthYear),
        ..asked()
    };
    assert!(question(&text, &wrong).starts_with("error: --dates"));
    Ok(())
}

#[test]
fn a_gap_earns_nothing_and_is_listed() -> Result<(), String> {
    let whole = log("Time (min),C (°C)\n0,90\n1,90\n2,90\n3,90\n4,90\n5,90\n6,90\n7,90\n")?;
    let gap = log("Time (min),C (°C)\n0,90\n1,90\n2,90\n3,90\n7,90\n")?;
    assert!((told(&whole).0 - 7.0).abs() < 1e-9);
    assert!((told(&gap).0 - 3.0).abs() < 1e-9);
    assert_eq!(gap.gaps.first[0].after_line, 5);
    assert!((gap.gaps_s - 240.0).abs() < 1e-9);
    // Three usual intervals are no gap.
    assert!((told(&log("Time (min),C (°C)\n0,90\n1,90\n2,90\n3,90\n6,90\n")?).0 - 6.0).abs() < 1e-9);
    Ok(())
}

#[test]
fn backward_and_repeated_rows_are_named_and_left_out() -> Result<(), String> {
    let report = log("Time (min),C (°C)\n0,90\n1,90\n1,120\n2,90\n0.5,120\n3,90\n")?;
    assert!((told(&report).0 - 3.0).abs() < 1e-9);
    assert_eq!(report.left_out.repeated.first, [4]);
    assert_eq!(
        report.left_out.backward.first.iter().map(|b| b.0).collect::<Vec<_>>(),
        [6]
    );
    assert_eq!((report.told.all_rows, report.told.rows), (6, 4));
    Ok(())
}

#[test]
fn broken_probes_are_listed_and_earn_nothing() -> Result<(), String> {
    let mut text = String::from("Time (min),A (°C),B (°C),C (°C),D (°C)\n");
    for t in 0..60 {
        let a = match t {
            10..=12 => "OL".to_owned(),
            20 => "---".to_owned(),
            30 => "1372".to_owned(),
            40 => "145.0".to_owned(),
            _ => "90".to_owned(),
        };
        let b = if t < 30 { "30".to_owned() } else { "99".to_owned() };
        text += &format!("{t},{a},{b},70.0,{}\n", 60 + t.min(39));
    }
    let report = log(&text)?;
    let kinds = |probe: usize| {
        report.probes[probe]
            .faults
            .first
            .iter()
            .map(|f| &f.kind)
            .collect::<Vec<_>>()
    };
    let a = kinds(0);
    assert!(
        a.contains(&&FaultKind::Word("OL".into())) && a.contains(&&FaultKind::Word("---".into())),
        "{a:?}"
    );
    assert!(
        a.contains(&&FaultKind::OutOfRange(1372.0)) && a.contains(&&FaultKind::Spike(145.0)),
        "{a:?}"
    );
    assert_eq!(report.probes[0].hottest.map(|p| p.c), Some(90.0));
    // 3 min of OL make a gap of 4 min; lone faults are bridged.
    assert!((told(&report).0 - 55.0).abs() < 1e-9, "{:?}", told(&report));
    assert!(matches!(kinds(1)[..], [FaultKind::Jump(..)]), "{:?}", kinds(1));
    assert!(
        kinds(2)
            .iter()
            .any(|kind| matches!(kind, FaultKind::Stuck(c, 60) if (*c - 70.0).abs() < 1e-9)),
        "{:?}",
        kinds(2)
    );
    assert!(kinds(3).is_empty(), "{:?}", kinds(3));
    Ok(())
}

#[test]
fn time_zero_and_off_are_read_as_the_log_writes_them() -> Result<(), String> {
    let text = "Time,C (°C)\n14:00:00,90\n14:01:00,90\n14:02:00,90\n14:03:00,90\n14:04:00,90\n";
    for (zero, off) in [("14:01", "14:03"), ("1 min", "3 min"), ("60 s", "14:03:00")] {
        let report = log_with(
            text,
            &Asked {
                zero: Some(zero.into()),
                off: Some(off.into()),
                ..asked()
            },
        )?;
        let dose = report.probes[0].doses[0];
        assert_eq!(report.left_out.before_zero, 1, "{zero}");
        assert!(
            (dose.heating_min - 2.0).abs() < 1e-9 && (dose.cooling_min - 1.0).abs() < 1e-9,
            "{zero} {dose:?}"
        );
    }
    for zero in ["15:00 o'clock", "never", ""] {
        let with = Asked {
            zero: Some(zero.into()),
            ..asked()
        };
        assert!(question(text, &with).starts_with("error: --zero"), "{zero}");
    }
    let late = Asked {
        off: Some("20 min".into()),
        ..asked()
    };
    assert!(question(text, &late).starts_with("error: --off"));
    Ok(())
}

#[test]
fn a_medium_is_named_by_heading_or_number_and_its_come_up_is_read() -> Result<(), String> {
    let mut text = String::from("Time (min),Centre (°C),Bath (°C)\n");
    for t in 0..=80 {
        let bath = (80.0 + f64::from(t) * 2.0).min(100.0);
        text += &format!("{t},{},{bath}\n", 60.0);
    }
    for name in ["Bath", "bath", "3", "ba"] {
        let report = log_with(
            &text,
            &Asked {
                medium: Some(name.into()),
                ..asked()
            },
        )?;
        let medium = report.medium.as_ref().map(|m| (m.probe, m.come_up_s));
        // 99 °C, a kelvin below its hottest, is passed between minutes 9 and 10.
        assert_eq!(medium, Some((Some(1), Some(600.0))), "{name}");
    }
    assert!(
        question(
            &text,
            &Asked {
                medium: Some("oven".into()),
                ..asked()
            }
        )
        .starts_with("error: --medium")
    );
    Ok(())
}

#[test]
fn what_is_no_log_is_refused_with_a_reason() {
    let long = vec![b'7'; 50_000_000];
    for (bytes, part) in [
        (&b""[..], "empty"),
        (b"\n\n\n", "no row"),
        (b"Time (min),Centre (\xC2\xB0C)\n", "no row"),
        (b"Centre\n80\n81\n82\n", "no row"),
        (
            b"A (\xC2\xB0C),B (\xC2\xB0C)\n80,81\n79,81\n82,83\n",
            "no column of them is a time",
        ),
        (b"\x00\x01\x02\x03\xff\x00\x00\x07\x08", "no text"),
        (&long, "longer than"),
        (
            b"Time (min),Centre (\xC2\xB0C)\n0,85,3\n1,86,4\n2,87,1\n",
            "commas stand between cells",
        ),
        (b"Time (min),Centre (\xC2\xB0C)\n0,85\n", "only one row"),
        (
            b"Time (min),C (\xC2\xB0C)\n0,85\n900,85\n1,85\n2,85\n3,85\n4,85\n",
            "follows line 3",
        ),
        (
            b"Time AP Centre_\xC2\xB0C\n10:00:00 AM 85\n10:00:10 AM 86\n",
            "AM and PM",
        ),
        (b"Time (min),Humidity (%)\n0,85\n1,85\n", "no column of temperatures"),
    ] {
        let got = try_log(bytes, &asked()).err().map(|e| (e.to_string(), e.hint()));
        assert!(
            got.as_ref()
                .is_some_and(|(what, hint)| what.contains(part) && !hint.is_empty()),
            "{part}: {got:?}"
        );
    }
}

#[test]
fn a_late_hot_start_and_missing_readings_never_pass_the_cooling_rule() -> Result<(), String> {
    use jarwright_heat::cooling_clock::Stages;
    let run = |rows: &str| log(&format!("Time (h),Core (°C)\n{rows}")).map(|r| r.probes[0].stages);
    assert_eq!(run("0,60\n1,40\n2,20\n3,12\n4,8\n5,4\n")?, Stages::Met);
    assert_eq!(run("0,50\n1,40\n2,20\n3,12\n4,8\n5,4\n")?, Stages::BeginsCool);
    assert_eq!(run("0,60\n1,50\n2,40\n3,30\n4,20\n")?, Stages::FirstTooSlow);
    assert_eq!(run("0,60\n1,40\n2,30\n")?, Stages::EndsEarly);
    Ok(())
}

#[test]
fn days_after_the_jars_have_cooled_do_not_thin_the_fit_away() -> Result<(), String> {
    let mut text = String::from("Seconds,Centre (°C),Bath (°C)\n");
    for i in 0..120_000_u32 {
        let t = f64::from(i) * 10.0;
        let (bath, centre) = if t < 7200.0 {
            (100.0, 100.0 - 60.0 * 10_f64.powf(-t / 1800.0))
        } else {
            (20.0, 20.0 + 80.0 * 10_f64.powf(-(t - 7200.0) / 2400.0))
        };
        text += &format!("{t},{centre:.2},{bath:.1}\n");
    }
    let with = Asked {
        medium: Some("Bath".into()),
        ..asked()
    };
    let report = log_with(&text, &with)?;
    let probe = &report.probes[0];
    let (heating, cooling) = (probe.heating.clone()?, probe.cooling.clone()?);
    assert!((heating.line.f_s / 1800.0 - 1.0).abs() < 0.005, "{:?}", heating.line);
    assert!((cooling.line.f_s / 2400.0 - 1.0).abs() < 0.005, "{:?}", cooling.line);
    assert!(
        (heating.lag.0 - 1.0).abs() < 0.01 && (cooling.lag.0 - 1.0).abs() < 0.03,
        "{:?} {:?}",
        heating.lag,
        cooling.lag
    );
    assert!(
        probe.kept.len() <= 2 * jarwright_stove::MOST_KEPT + 8,
        "{}",
        probe.kept.len()
    );
    Ok(())
}

#[test]
fn a_measured_curve_whose_logarithm_is_not_straight_has_no_fit() -> Result<(), String> {
    // A sausage in a bath of 71.91 °C, as measured: its local slopes differ fivefold.
    let curve = [
        (0, 26.4),
        (30, 41.6),
        (60, 49.0),
        (90, 53.6),
        (120, 57.2),
        (150, 59.7),
        (180, 61.1),
        (210, 62.5),
        (240, 63.6),
        (300, 64.4),
        (360, 67.0),
    ];
    let rows: String = curve.iter().map(|(t, c)| format!("{t}\t{c}\n")).collect();
    let with = Asked {
        medium_at: Some("71.91".into()),
        ..asked()
    };
    let report = log_with(&format!("Seconds\tCentre (°C)\n{rows}"), &with)?;
    assert!(report.probes[0].heating.is_err(), "{:?}", report.probes[0].heating);
    assert!(report.probes[0].faults.first.is_empty());
    Ok(())
}

#[test]
fn fits_in_figures_spread_as_their_readings_do() -> Result<(), String> {
    let mut text = String::from("Minutes,Centre (°C)\n");
    for t in 0..60_i32 {
        let noise = f64::from((t * 37) % 11 - 5) * 0.04;
        text += &format!("{t},{:.1}\n", 100.0 - 70.0 * 10_f64.powf(-f64::from(t) / 40.0) + noise);
    }
    let with = Asked {
        medium_at: Some("100".into()),
        ..asked()
    };
    let report = log_with(&text, &with)?;
    let fit = report.probes[0].heating.clone()?;
    let told = report.figures();
    let figures = &told.probes[0].heating;
    let (f, j) = (figures.f.as_ref().ok_or("no f")?, figures.j.as_ref().ok_or("no j")?);
    assert!((f.value - fit.line.f_s / 60.0).abs() < 1e-9 && (j.value - fit.lag.0).abs() < 1e-9);
    // 9 of 10 lie inside the 95 % interval, with some width.
    let (low, high) = fit.line.f_between_s;
    assert!(
        low / 60.0 < f.low && f.low < f.value && f.value < f.high && f.high < high / 60.0,
        "{f:?} {low} {high}"
    );
    assert!(
        fit.lag.1 < j.low && j.low < j.value && j.value < j.high && j.high < fit.lag.2,
        "{j:?}"
    );
    Ok(())
}
