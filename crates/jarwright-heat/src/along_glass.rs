//! What glass does along itself: beside the products of its two directions, in which a wall leads
//! heat up and down, and stores it in its corner, as a product of layers would.
//!
//! What the products miss is small, slow and smooth, so few smooth functions tell it: polynomials
//! in the food, which go on through the glass, and one that only runs in the glass. They are made
//! square to each other under the true jar (Rayleigh and Ritz); each is then driven by what the
//! products leave over:
//!
//! ```text
//! T = T_products + sum d_k u_k      d_k' + L_k d_k = -sum (A(u_k, f_mn) - L_mn M(u_k, f_mn)) a_mn(t)
//! ```
//!
//! with M the true jar's heat and A what it leads. Driven by `modes.rs`. Sources:
//! `carslaw_jaeger_1959`, and `ritz_1909` for the method.

use nalgebra::{DMatrix, DVector, SymmetricEigen};

use crate::spectrum::{Direction, Mode, Way};
use crate::stage::GAUSS;

/// Functions along the radius and along the height whose missing part is told.
pub(crate) const DRIVING: (usize, usize) = (10, 14);
/// Polynomials along the radius (in its square) and along the height.
const POLYNOMIALS: (usize, usize) = (4, 7);
/// Stretches of five Gauss points in the food, along the radius and the height.
const STRETCHES: (usize, usize) = (4, 6);
/// What has died by this many powers of e before the middle feels it is left out.
const DEAD: f64 = 4.0;

/// One slow function of the true jar.
#[derive(Debug, Clone)]
pub(crate) struct Slow {
    /// Rate at which it dies [1/s].
    pub(crate) rate: f64,
    /// Value in the middle of the jar.
    pub(crate) middle: f64,
    /// How much of each driving product is in it, by rows of [`DRIVING`].
    pub(crate) shares: Vec<f64>,
    /// How strongly each driving product drives it [1/s].
    pub(crate) pulls: Vec<f64>,
}

/// A function at places in the food and in the glass, with its slope [1/m], and at its ends.
struct Seen {
    food: Vec<(f64, f64)>,
    glass: Vec<(f64, f64)>,
    /// Value, and heat flow through the film over the food's heat capacity and length [1/s].
    outer: (f64, f64),
    top: (f64, f64),
}

/// Where functions of a direction are seen, each place with its share of the food's volume.
struct Places {
    food: Vec<(f64, f64)>,
    glass: Vec<(f64, f64)>,
    food_m2_s: f64,
    glass_m2_s: f64,
    /// Volume of the glass over the food's [-].
    glass_volume: f64,
}

/// Integrals of pairs of functions of a direction: trial functions by row, others by column.
struct Pairs {
    food: DMatrix<f64>,
    glass: DMatrix<f64>,
    food_slopes: DMatrix<f64>,
    glass_slopes: DMatrix<f64>,
    outer: DMatrix<f64>,
    top: DMatrix<f64>,
}

/// Legendre's polynomials and their slopes at a place from -1 to 1.
fn legendre(x: f64, many: usize) -> Vec<(f64, f64)> {
    let mut all = vec![(1.0, 0.0), (x, 1.0)];
    for n in 1..many {
        let k = n as f64;
        let ((value, _), (before, slope)) = (all[n], all[n - 1]);
        all.push((
            ((2.0 * k + 1.0) * x * value - k * before) / (k + 1.0),
            slope + (2.0 * k + 1.0) * value,
        ));
    }
    all.truncate(many);
    all
}

impl Places {
    fn new(direction: &Direction, stretches: usize) -> Self {
        let width = 1.0 / stretches as f64;
        let food = (0..stretches).flat_map(|i| {
            GAUSS.map(|(node, weight)| {
                let share = (i as f64 + node) * width;
                let around = match direction.way {
                    Way::Round => 2.0 * share,
                    Way::Upright => 1.0,
                };
                (share, weight * width * around)
            })
        });
        Self {
            food: food.collect(),
            glass: direction.glass.map_or_else(Vec::new, |_| GAUSS.to_vec()),
            food_m2_s: direction.k_w_mk / direction.heat_j_m3k,
            glass_m2_s: direction.glass.map_or(0.0, |glass| glass.k_w_mk / direction.heat_j_m3k),
            glass_volume: direction.glass_volume(),
        }
    }

    /// Polynomials in the food that go on evenly through the glass, and the one that runs in the
    /// glass alone. `films`: at the outer face and at the top, as rates [1/s].
    fn trials(&self, direction: &Direction, many: usize, films: (f64, f64)) -> Vec<Seen> {
        let over = 1.0 / direction.length_m;
        let seen: Vec<Vec<(f64, f64)>> = self
            .food
            .iter()
            .map(|&(share, _)| {
                let (x, stretch) = match direction.way {
                    Way::Round => (2.0 * share * share - 1.0, 4.0 * share * over),
                    Way::Upright => (1.0 - 2.0 * share, -2.0 * over),
                };
                let all = legendre(x, many).into_iter();
                all.map(|(value, slope)| (value, slope * stretch)).collect()
            })
            .collect();
        let mut trials: Vec<Seen> = (0..many)
            .map(|i| {
                let top = match direction.way {
                    Way::Round => 0.0,
                    Way::Upright if i % 2 == 0 => 1.0,
                    Way::Upright => -1.0,
                };
                Seen {
                    food: seen.iter().map(|all| all[i]).collect(),
                    glass: vec![(1.0, 0.0); self.glass.len()],
                    outer: (1.0, films.0),
                    top: (top, films.1 * top),
                }
            })
            .collect();
        trials.extend(direction.glass.map(|glass| Seen {
            food: vec![(0.0, 0.0); self.food.len()],
            glass: self.glass.iter().map(|&(share, _)| (share, 1.0 / glass.thick_m)).collect(),
            outer: (1.0, films.0),
            top: (0.0, 0.0),
        }));
        trials
    }

    fn modes(&self, direction: &Direction, modes: &[Mode]) -> Vec<Seen> {
        let thick_m = direction.glass.map_or(1.0, |glass| glass.thick_m);
        let see = |mode: &Mode| Seen {
            food: self.food.iter().map(|&(share, _)| mode.in_food(share, direction.length_m)).collect(),
            glass: self.glass.iter().map(|&(share, _)| mode.in_glass(share, thick_m)).collect(),
            outer: (mode.outer.value, mode.outer.flow),
            top: (mode.top.value, mode.top.flow),
        };
        modes.iter().map(see).collect()
    }

    fn pairs(&self, rows: &[Seen], columns: &[Seen]) -> Pairs {
        let fill = |of: &dyn Fn(&Seen, &Seen) -> f64| {
            DMatrix::from_fn(rows.len(), columns.len(), |i, j| of(&rows[i], &columns[j]))
        };
        let sum = |places: &[(f64, f64)], a: &[(f64, f64)], b: &[(f64, f64)]| {
            places.iter().zip(a).zip(b).fold((0.0, 0.0), |(value, slope), ((p, a), b)| {
                (value + p.1 * a.0 * b.0, slope + p.1 * a.1 * b.1)
            })
        };
        let volume = self.glass_volume;
        Pairs {
            food: fill(&|a, b| sum(&self.food, &a.food, &b.food).0),
            glass: fill(&|a, b| volume * sum(&self.glass, &a.glass, &b.glass).0),
            food_slopes: fill(&|a, b| self.food_m2_s * sum(&self.food, &a.food, &b.food).1),
            glass_slopes: fill(&|a, b| volume * self.glass_m2_s * sum(&self.glass, &a.glass, &b.glass).1),
            outer: fill(&|a, b| a.outer.0 * b.outer.1),
            top: fill(&|a, b| a.top.0 * b.top.1),
        }
    }
}

/// The slow functions of the true jar; none without glass.
///
/// * `round`, `upright`: a direction, its functions, and its films [W/(m² K)] as they count there
/// * `late_s`: time before the middle feels anything of them [s]
pub(crate) fn slow(
    (across, round, side): (&Direction, &[Mode], f64),
    (along, upright, [base, top]): (&Direction, &[Mode], [f64; 2]),
    late_s: f64,
) -> Vec<Slow> {
    let Some(glass) = across.glass.or(along.glass) else {
        return Vec::new();
    };
    let env = |n: &str, d: usize| std::env::var(n).map_or(d, |x| x.parse().unwrap());
    let polys = (env("TR", POLYNOMIALS.0), env("TZ", POLYNOMIALS.1));
    let driving = (env("MR", DRIVING.0), env("MZ", DRIVING.1));
    let stretches = (env("PR", STRETCHES.0), env("PZ", STRETCHES.1));
    let deg = env("DEG", 99);
    let dead = env("KD", 4) as f64;
    let round = &round[..round.len().min(driving.0)];
    let upright = &upright[..upright.len().min(driving.1)];
    let heavy = glass.heat_j_m3k / across.heat_j_m3k;
    let leads = glass.k_w_mk / across.k_w_mk;
    // Films as they count on the rim of the other direction's glass.
    let (rim_r, rim_z) = (1.0 / across.rim(), 1.0 / along.rim());
    let rate = |film: f64, area: f64| film * area / across.heat_j_m3k;
    let (places_r, places_z) = (Places::new(across, stretches.0), Places::new(along, stretches.1));
    let trials_r = places_r.trials(across, polys.0, (rate(side, across.areas().2), 0.0));
    let ends = (rate(base, along.areas().2), rate(top, 1.0 / along.length_m));
    let trials_z = places_z.trials(along, polys.1, ends);

    let mut pairs = Vec::with_capacity(trials_r.len() * trials_z.len());
    for i in 0..trials_r.len() { for j in 0..trials_z.len() {
        let d = |i: usize, most: usize, by: usize| if i < most { by * i } else { env("PD", 2) };
        if d(i, polys.0, 2) + d(j, polys.1, 1) <= deg { pairs.push((i, j)); }
    } }
    let (r, z) = (places_r.pairs(&trials_r, &trials_r), places_z.pairs(&trials_z, &trials_z));
    let all = |m: &DMatrix<f64>, n: &DMatrix<f64>| m + n;
    let (r_all, z_all) = (all(&r.food, &r.glass), all(&z.food, &z.glass));
    let r_heat = &r.food + heavy * &r.glass;
    let r_leads = &r.food + leads * &r.glass;
    let z_leads = &z.food + leads * &z.glass;
    let size = pairs.len();
    let form = |of: &dyn Fn((usize, usize), (usize, usize)) -> f64| {
        DMatrix::from_fn(size, size, |x, y| {
            let ((i, j), (p, q)) = (pairs[x], pairs[y]);
            of((i, p), (j, q))
        })
    };
    let heat = form(&|a, b| r_heat[a] * z.food[b] + heavy * r_all[a] * z.glass[b]);
    let leak = form(&|a, b| {
        r.food_slopes[a] * z_leads[b]
            + r_leads[a] * z.food_slopes[b]
            + (r.glass_slopes[a] + rim_z * r.outer[a]) * z_all[b]
            + r_all[a] * (z.glass_slopes[b] + rim_r * z.outer[b])
            + r.food[a] * z.top[b]
    });
    let Some(factor) = heat.cholesky() else {
        return Vec::new();
    };
    let lower = factor.l();
    let mut turned = leak;
    lower.solve_lower_triangular_mut(&mut turned);
    turned.transpose_mut();
    lower.solve_lower_triangular_mut(&mut turned);
    let eigen = SymmetricEigen::new(turned);
    let mut shares = eigen.eigenvectors;
    lower.tr_solve_lower_triangular_mut(&mut shares);

    let (seen_r, seen_z) = (places_r.modes(across, round), places_z.modes(along, upright));
    let (r, z) = (places_r.pairs(&trials_r, &seen_r), places_z.pairs(&trials_z, &seen_z));
    let square = heavy * (1.0 - heavy);
    let own = |m: &DMatrix<f64>, modes: &[Mode]| DMatrix::from_fn(m.nrows(), m.ncols(), |i, j| m[(i, j)] * modes[j].rate);
    // What the true jar has more than the products, as products again.
    let r_more = (leads - heavy) * &r.food_slopes + (1.0 - heavy) * &r.glass_slopes
        + (rim_z - heavy) * &r.outer - square * own(&r.glass, round);
    let z_more = (leads - heavy) * &z.food_slopes + (1.0 - heavy) * &z.glass_slopes
        + (rim_r - heavy) * &z.outer - heavy * &z.top - square * own(&z.glass, upright);
    let r_film = (rim_z - 1.0) * &r.outer;
    let z_film = (rim_r - 1.0) * &z.outer;
    let (r_heat, z_heat) = (&r.food + heavy * &r.glass, &z.food + heavy * &z.glass);
    let middle_r: Vec<f64> = legendre(-1.0, polys.0).iter().map(|p| p.0).chain([0.0]).collect();
    let middle_z: Vec<f64> = legendre(0.0, polys.1).iter().map(|p| p.0).chain([0.0]).collect();
    let mut order: Vec<usize> = (0..size).filter(|&k| eigen.eigenvalues[k] * late_s < dead).collect();
    order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
    let told = order.into_iter().map(|k| {
        let mut u = DMatrix::zeros(trials_r.len(), trials_z.len());
        for (x, &at) in pairs.iter().enumerate() {
            u[at] = shares[(x, k)];
        }
        let ut = |m: &DMatrix<f64>| m.tr_mul(&u);
        let pulls = ut(&r.glass) * &z_more + ut(&r_more) * &z.glass + ut(&r_film) * &z.food + ut(&r.food) * &z_film;
        let held = ut(&r_heat) * &z_heat;
        let middle = DVector::from_vec(middle_r[..trials_r.len()].to_vec()).dot(&(&u * DVector::from_vec(middle_z[..trials_z.len()].to_vec())));
        Slow {
            rate: eigen.eigenvalues[k].max(0.0),
            middle,
            shares: held.transpose().as_slice().to_vec(),
            pulls: pulls.transpose().as_slice().to_vec(),
        }
    });
    told.collect()
}
