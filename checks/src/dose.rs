//! What time and temperature do, held against printed tables and worked examples.

use jarwright_dose::{
    DoseError, TwoSlope, lethality_min, lethality_rectangle_min, lethality_trapezoid_min, minutes_at,
    z_from_two_times_k,
};
use jarwright_figure::Mark;

use crate::{Check, Worst};

/// Every check of dose.
#[must_use]
pub fn all() -> Vec<Check> {
    vec![
        five_log_to_ph_4_1(),
        five_log_to_ph_4_6(),
        non_proteolytic(),
        egg_pasteurisation_pairs(),
        yolk_d_values(),
        seventy_for_two(),
        geankoplis_steps(),
        geankoplis_curve(),
        f0_report_rectangle(),
        f0_report_trapezoid(),
    ]
}

/// One decimal printed: half of it, and a hair for the conversion from °F.
const HALF_A_TENTH: f64 = 0.05 + 1e-6;

fn celsius(f: f64) -> f64 {
    (f - 32.0) / 1.8
}

/// Adds a computed value, or a failure that cannot pass.
fn add(worst: &mut Worst, computed: Result<f64, DoseError>, printed: f64) {
    worst.add(computed.unwrap_or(f64::NAN), printed);
}

fn passed(worst: &Worst, tolerance: f64) -> bool {
    worst.points > 0 && worst.miss <= tolerance
}

fn five_log_to_ph_4_1() -> Check {
    const CELLS: [(f64, f64); 20] = [
        (140.0, 12.7),
        (142.0, 10.1),
        (144.0, 7.9),
        (146.0, 6.3),
        (148.0, 4.9),
        (150.0, 3.9),
        (152.0, 3.1),
        (154.0, 2.4),
        (156.0, 1.9),
        (158.0, 1.5),
        (160.0, 1.2),
        (162.0, 0.9),
        (164.0, 0.7),
        (166.0, 0.6),
        (168.0, 0.5),
        (170.0, 0.4),
        (172.0, 0.3),
        (174.0, 0.2),
        (176.0, 0.2),
        (178.0, 0.1),
    ];
    let mut worst = Worst::default();
    for (f, minutes) in CELLS {
        let computed = minutes_at(1.2, celsius(160.0), 19.5 / 1.8, celsius(f));
        add(&mut worst, computed, minutes);
    }
    Check {
        name: "five-log-table-to-ph-4.1",
        claim: "1.2 min at 160 °F with z 19.5 °F gives every cell of the 5-log table up to pH 4.1",
        source: "breidt_2010",
        place: "table of hold times, pH 4.1 and below, 140 to 178 °F",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: HALF_A_TENTH,
        unit: "min",
        why: "one decimal printed",
        passed: passed(&worst, HALF_A_TENTH),
        note: "the table is a line through measurements, so this holds the arithmetic against \
               print, not the microbes against the line"
            .into(),
    }
}

fn five_log_to_ph_4_6() -> Check {
    const FROM_F: f64 = 141.0;
    const MINUTES: [f64; 40] = [
        77.8, 67.7, 59.0, 51.4, 44.8, 39.0, 34.0, 29.6, 25.8, 22.4, 19.5, 17.0, 14.8, 12.9, 11.2, 9.8, 8.5, 7.4, 6.5,
        5.6, 4.9, 4.3, 3.7, 3.2, 2.8, 2.5, 2.1, 1.9, 1.6, 1.4, 1.2, 1.1, 0.9, 0.8, 0.7, 0.6, 0.5, 0.5, 0.4, 0.4,
    ];
    let mut worst = Worst::default();
    let mut rounded = 0;
    for (i, &minutes) in MINUTES.iter().enumerate() {
        let c = celsius(FROM_F + i as f64);
        add(&mut worst, minutes_at(5.639, celsius(160.0), 16.6725 / 1.8, c), minutes);
        let by_rounded = minutes_at(5.6, celsius(160.0), 16.7 / 1.8, c).unwrap_or(f64::NAN);
        if (by_rounded - minutes).abs() > HALF_A_TENTH {
            rounded += 1;
        }
    }
    Check {
        name: "five-log-table-to-ph-4.6",
        claim: "5.639 min at 160 °F with z 16.6725 °F gives every cell of the 5-log table from pH 4.1 to 4.6",
        source: "breidt_2014",
        place: "table 4, 141 to 180 °F",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: HALF_A_TENTH,
        unit: "min",
        why: "one decimal printed",
        passed: passed(&worst, HALF_A_TENTH),
        note: format!(
            "the two constants were found from the table's own rounding; the pair printed beside \
             it, 5.6 min and 16.7 °F, misses {rounded} of 40 cells"
        ),
    }
}

fn non_proteolytic() -> Check {
    /// Temperature [°C], minutes, last printed digit.
    const CELLS: [(f64, f64, f64); 11] = [
        (80.0, 129.0, 1.0),
        (82.0, 77.0, 1.0),
        (84.0, 46.0, 1.0),
        (86.0, 28.0, 1.0),
        (88.0, 17.0, 1.0),
        (90.0, 10.0, 1.0),
        (92.0, 6.3, 0.1),
        (94.0, 4.0, 0.1),
        (96.0, 2.5, 0.1),
        (98.0, 1.6, 0.1),
        (100.0, 1.0, 0.1),
    ];
    let mut worst = Worst::default();
    for (c, minutes, digit) in CELLS {
        let rate = TwoSlope::NON_PROTEOLYTIC.rate(c);
        worst.add(10.0 / rate / digit, minutes / digit);
    }
    let tolerance = 0.5 + 1e-9;
    Check {
        name: "non-proteolytic-equivalent-times",
        claim: "10 min at 90 °C with z 9 K below and 10 K above gives every printed equivalent time",
        source: "cfa_2006",
        place: "table of equivalent times, 80 to 100 °C",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "last printed digit",
        why: "half of the last printed digit",
        passed: passed(&worst, tolerance),
        note: "the two slopes were read off the table itself; 7.5 K, often used, belongs to another organism".into(),
    }
}

fn egg_pasteurisation_pairs() -> Check {
    /// Temperatures [°F] that serve for 6.2 and for 3.5 minutes.
    const PAIRS: [(f64, f64); 8] = [
        (132.0, 134.0),
        (140.0, 142.0),
        (142.0, 144.0),
        (144.0, 146.0),
        (140.0, 142.0),
        (140.0, 142.0),
        (144.0, 146.0),
        (144.0, 146.0),
    ];
    let mut worst = Worst::default();
    for (cooler_f, hotter_f) in PAIRS {
        let z_k = z_from_two_times_k(celsius(cooler_f), 6.2, celsius(hotter_f), 3.5);
        worst.add_inside(z_k.unwrap_or(f64::NAN), 4.2, 5.3);
    }
    Check {
        name: "egg-pasteurisation-pairs",
        claim: "z of each time and temperature pair of the egg rule lies in the range measured for Salmonella in egg",
        source: "cfr9_590_570",
        place: "table I, liquid egg products; measured range 4.2 to 5.3 K from garibaldi_1969",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: 0.0,
        unit: "K",
        why: "inside the measured range",
        passed: passed(&worst, 0.0),
        note: "all eight pairs are 2 °F apart, so they share one z, 4.47 K; the measured mean is 4.6 K".into(),
    }
}

fn yolk_d_values() -> Check {
    const D_MIN: [(f64, f64); 4] = [(58.0, 1.83), (62.0, 0.26), (64.0, 0.096), (66.0, 0.036)];
    let mut worst = Worst::default();
    for (c, d_min) in D_MIN {
        worst.add_relative(minutes_at(0.69, 60.0, 4.7, c).unwrap_or(f64::NAN), d_min);
    }
    let tolerance = 0.045;
    Check {
        name: "yolk-salmonella-d-values",
        claim: "D of Salmonella in yolk at 60 °C and z 4.7 K give the measured D at 58 to 66 °C",
        source: "yolk_salmonella_model",
        place: "abstract, D values",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "the source prints z with a standard error of 0.07 K, 4.5 % in D over 6 K",
        passed: passed(&worst, tolerance),
        note: "plain yolk; sugar and salt raise D severalfold".into(),
    }
}

fn seventy_for_two() -> Check {
    let mut worst = Worst::default();
    for (c, printed_min) in [(65.0, 10.0), (75.0, 0.5)] {
        worst.add_relative(minutes_at(2.0, 70.0, 7.5, c).unwrap_or(f64::NAN), printed_min);
    }
    let tolerance = 0.15;
    Check {
        name: "seventy-degrees-for-two-minutes",
        claim: "z 7.5 K carries 70 °C for 2 min to the printed equivalents at 65 and 75 °C",
        source: "fsa_acmsf_2015",
        place: "equivalents of 70 °C for 2 min: 65 °C 10 min, 75 °C 30 s",
        mark: Mark::ThirdPartyCopy,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "relative",
        why: "the printed times are rounded up to whole ones: 9.3 to 10 min, 26 to 30 s",
        passed: passed(&worst, tolerance),
        note: "both computed times are the shorter ones: the printed ones govern".into(),
    }
}

fn geankoplis_steps() -> Check {
    const STEPS: [(f64, f64); 3] = [(20.0, 160.0), (20.0, 210.0), (33.0, 230.0)];
    let mut worst = Worst::default();
    let total: Result<f64, DoseError> = STEPS
        .iter()
        .map(|&(minutes, f)| {
            let c = celsius(f);
            lethality_min(&[0.0, 60.0 * minutes], &[c, c], celsius(250.0), 10.0)
        })
        .sum();
    add(&mut worst, total, 2.68);
    let tolerance = 0.005;
    Check {
        name: "geankoplis-9.12-1",
        claim: "a process of three steady temperatures is worth 2.68 min at 250 °F",
        source: "geankoplis",
        place: "example 9.12-1",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "two decimals printed",
        passed: passed(&worst, tolerance),
        note: "z 18 °F".into(),
    }
}

fn geankoplis_curve() -> Check {
    const MINUTES: [f64; 7] = [0.0, 15.0, 25.0, 30.0, 40.0, 50.0, 64.0];
    const F: [f64; 7] = [80.0, 165.0, 201.0, 212.5, 225.0, 230.5, 235.0];
    let times_s = MINUTES.map(|m| 60.0 * m);
    let temperatures_c = F.map(celsius);
    let mut worst = Worst::default();
    let trapezoid = lethality_trapezoid_min(&times_s, &temperatures_c, celsius(250.0), 10.0);
    let exact = lethality_min(&times_s, &temperatures_c, celsius(250.0), 10.0).unwrap_or(f64::NAN);
    add(&mut worst, trapezoid, 2.5);
    Check {
        name: "geankoplis-9.12-2",
        claim: "the trapezoid rule on the heating curve of canned purée gives 2.5 min at 250 °F",
        source: "geankoplis",
        place: "example 9.12-2",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance: HALF_A_TENTH,
        unit: "min",
        why: "one decimal printed",
        passed: passed(&worst, HALF_A_TENTH),
        note: format!(
            "straight lines between the readings, taken exactly, give {exact:.2} min: coarse \
             readings flatter the trapezoid"
        ),
    }
}

/// Readings of minutes 16 to 60 [°C].
const REPORT_C: [f64; 45] = [
    100.9, 102.0, 103.1, 104.1, 104.9, 105.8, 106.5, 107.2, 107.8, 108.4, 108.9, 109.4, 109.8, 110.2, 110.6, 110.9,
    111.2, 111.5, 111.8, 112.1, 112.3, 112.5, 112.7, 112.9, 113.1, 113.2, 113.4, 113.5, 113.6, 113.8, 113.9, 114.0,
    114.1, 114.1, 114.2, 114.3, 114.4, 114.4, 114.5, 114.6, 114.6, 114.7, 114.7, 114.7, 114.8,
];
const REPORT_FROM_MIN: usize = 16;

fn f0_report_rectangle() -> Check {
    const CUMULATIVE: [(usize, f64); 6] = [(30, 0.7), (40, 1.9), (46, 3.0), (50, 3.8), (55, 4.9), (60, 6.0)];
    let mut worst = Worst::default();
    for (minute, printed) in CUMULATIVE {
        let so_far = &REPORT_C[..=minute - REPORT_FROM_MIN];
        add(&mut worst, lethality_rectangle_min(60.0, so_far, 121.1, 10.0), printed);
    }
    let tolerance = 0.06;
    Check {
        name: "f0-report-rectangle",
        claim: "the rectangle rule on logged readings gives a laboratory's cumulative F0 column",
        source: "f0_report_slow_heating",
        place: "minutes 16 to 60 of the logged process",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "one decimal printed, and readings to 0.1 °C and what came before minute 16 add about 0.01",
        passed: passed(&worst, tolerance),
        note: "the report counts each reading for a whole minute".into(),
    }
}

fn f0_report_trapezoid() -> Check {
    let times_s: Vec<f64> = (0..REPORT_C.len()).map(|i| 60.0 * i as f64).collect();
    let mut worst = Worst::default();
    add(
        &mut worst,
        lethality_trapezoid_min(&times_s, &REPORT_C, 121.1, 10.0),
        6.0,
    );
    add(&mut worst, lethality_min(&times_s, &REPORT_C, 121.1, 10.0), 6.0);
    let tolerance = 0.05 + 0.122;
    Check {
        name: "f0-report-trapezoid",
        claim: "the trapezoid rule and the exact integral of the same readings agree with the printed total",
        source: "f0_report_slow_heating",
        place: "minutes 16 to 60 of the logged process, total 6.0",
        mark: Mark::Seen,
        measured_or_printed: true,
        points: worst.points,
        worst_miss: worst.miss,
        tolerance,
        unit: "min",
        why: "one decimal printed, and the report's rectangle rule counts half of the first and last reading more, 0.122 min",
        passed: passed(&worst, tolerance),
        note: "the total itself shows that the report did not use the trapezoid".into(),
    }
}
