//! Fewer points for the same line, after Ramer (1972) and Douglas and Peucker (1973).

/// How far a line may come off the points left out: less than a printer or a screen shows.
const OFF: f64 = 0.12;
/// Most points of a line; one that trembles more than they show comes off as far as it must.
const MOST: usize = 180;
/// How often what a line may come off is doubled at most: up to the size of a picture.
const DOUBLINGS: i32 = 13;

/// The points without which the line would look different; the first and the last always.
///
/// Points that are not finite are left out where they stand inside.
pub(super) fn thinned(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut few = within(points, OFF);
    for doubling in 1..=DOUBLINGS {
        if few.len() <= MOST {
            break;
        }
        few = within(points, OFF * 2_f64.powi(doubling));
    }
    few
}

/// The points a line must keep to come off none by more than `most`.
fn within(points: &[(f64, f64)], most: f64) -> Vec<(f64, f64)> {
    let Some(last) = points.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut kept = vec![false; points.len()];
    (kept[0], kept[last]) = (true, true);
    let mut spans = vec![(0, last)];
    while let Some((from, to)) = spans.pop() {
        let furthest = (from + 1..to)
            .map(|i| (off(points[i], points[from], points[to]), i))
            .fold(
                (most, None),
                |(most, at), (d, i)| if d > most { (d, Some(i)) } else { (most, at) },
            );
        if let (_, Some(at)) = furthest {
            kept[at] = true;
            spans.extend([(from, at), (at, to)]);
        }
    }
    points
        .iter()
        .zip(kept)
        .filter_map(|(p, kept)| kept.then_some(*p))
        .collect()
}

/// Distance of a point from a stretch of line.
fn off((x, y): (f64, f64), (ax, ay): (f64, f64), (bx, by): (f64, f64)) -> f64 {
    let (dx, dy) = (bx - ax, by - ay);
    let long = dx * dx + dy * dy;
    let along = if long > 0.0 {
        (((x - ax) * dx + (y - ay) * dy) / long).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (x - ax - along * dx).hypot(y - ay - along * dy)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_point_stays_on_the_thinned_line() {
        let points: Vec<(f64, f64)> = (0..2000)
            .map(|i| {
                let x = f64::from(i) * 0.3;
                (x, 100.0 * (x / 40.0).sin() + if i % 500 == 250 { 30.0 } else { 0.0 })
            })
            .collect();
        let few = thinned(&points);
        assert!(few.len() < 200, "{}", few.len());
        for p in &points {
            let nearest = few
                .windows(2)
                .map(|w| off(*p, w[0], w[1]))
                .fold(f64::INFINITY, f64::min);
            assert!(nearest <= OFF + 1e-9, "{p:?} is {nearest} off");
        }
    }

    #[test]
    fn ends_and_corners_stay_and_a_straight_line_is_its_ends() {
        let corner = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 5.0)];
        assert_eq!(thinned(&corner), [(0.0, 0.0), (2.0, 0.0), (2.0, 5.0)]);
        assert_eq!(thinned(&[(3.0, 3.0)]), [(3.0, 3.0)]);
        assert!(thinned(&[]).is_empty());
        let there_and_back = [(0.0, 0.0), (9.0, 0.0), (0.0, 0.0)];
        assert_eq!(thinned(&there_and_back), there_and_back);
    }

    #[test]
    fn what_is_not_finite_is_left_out() {
        assert_eq!(
            thinned(&[(0.0, 0.0), (1.0, f64::NAN), (2.0, 0.0)]),
            [(0.0, 0.0), (2.0, 0.0)]
        );
    }

    #[test]
    fn a_line_that_trembles_keeps_its_peaks_and_few_points() {
        let points: Vec<(f64, f64)> = (0..5000)
            .map(|i| {
                let x = f64::from(i) * 0.14;
                (x, 3.0 * (x * 31.0).sin() + if i == 2500 { 90.0 } else { 0.0 })
            })
            .collect();
        let few = thinned(&points);
        assert!(few.len() <= MOST && few.contains(&points[2500]));
    }
}
