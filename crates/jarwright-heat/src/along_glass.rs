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
//! with M the true jar's heat and A what it leads. Driven by `modes.rs`. Source of the products:
//! `carslaw_jaeger_1959`.

use nalgebra::{DMatrix, DVector, SymmetricEigen};

use crate::spectrum::{Direction, Mode, Way};
use crate::stage::GAUSS;

/// Functions along the radius and along the height whose missing part is told.
pub(crate) const DRIVING: (usize, usize) = (8, 10);
/// Polynomials along the radius (in its square) up to half the height, and beyond.
const ACROSS: (usize, usize) = (4, 5);
/// Polynomials along the height: least and most, and how many for each radius that it is high.
const UPRIGHT: (usize, usize) = (7, 12);
const UPRIGHT_EACH: f64 = 1.8;
/// Stretches of five Gauss points in the food, along the radius and the height.
const STRETCHES: (usize, usize) = (3, 4);
/// What has died by this many powers of e before the middle feels it is left out.
const DEAD: f64 = 4.0;
/// Most turns the eigenvalues may take.
const TURNS: usize = 4000;

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
        trials.extend(direction.glass.map(|glass| {
            Seen {
                food: vec![(0.0, 0.0); self.food.len()],
                glass: self
                    .glass
                    .iter()
                    .map(|&(share, _)| (share, 1.0 / glass.thick_m))
                    .collect(),
                outer: (1.0, films.0),
                top: (0.0, 0.0),
            }
        }));
        trials
    }

    fn modes(&self, direction: &Direction, modes: &[Mode]) -> Vec<Seen> {
        let thick_m = direction.glass.map_or(1.0, |glass| glass.thick_m);
        let see = |mode: &Mode| Seen {
            food: self
                .food
                .iter()
                .map(|&(share, _)| mode.in_food(share, direction.length_m))
                .collect(),
            glass: self
                .glass
                .iter()
                .map(|&(share, _)| mode.in_glass(share, thick_m))
                .collect(),
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
            places
                .iter()
                .zip(a)
                .zip(b)
                .fold((0.0, 0.0), |(value, slope), ((p, a), b)| {
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

/// How many polynomials tell a jar along its radius and its height.
fn polynomials(radius_m: f64, height_m: f64) -> (usize, usize) {
    let across = if 2.0 * radius_m > height_m { ACROSS.1 } else { ACROSS.0 };
    let upright = (UPRIGHT_EACH * height_m / radius_m).min(UPRIGHT.1 as f64) as usize;
    (across, upright.max(UPRIGHT.0))
}

/// Pairs of trial functions, and the true jar's slow functions made of them.
struct Ritz {
    /// Rates at which they die [1/s], and how much of each pair is in each, by column.
    rates: DVector<f64>,
    shares: DMatrix<f64>,
    /// Trial functions along the radius and the height.
    trials: (usize, usize),
}

/// How glass differs from food, and what films count on the rim of the other direction's glass.
struct Differs {
    /// Heat capacity and conductivity over the food's [-].
    heat: f64,
    leads: f64,
    /// Film on the outer face over the film as the products take it: side, base [-].
    films: (f64, f64),
}

impl Ritz {
    fn new(r: &Pairs, z: &Pairs, glass: &Differs) -> Option<Self> {
        let (heavy, leads) = (glass.heat, glass.leads);
        let (r_all, z_all) = (&r.food + &r.glass, &z.food + &z.glass);
        let r_heat = &r.food + heavy * &r.glass;
        let (r_leads, z_leads) = (&r.food + leads * &r.glass, &z.food + leads * &z.glass);
        let r_out = &r.glass_slopes + glass.films.0 * &r.outer;
        let z_out = &z.glass_slopes + glass.films.1 * &z.outer;
        let heat = r_heat.kronecker(&z.food) + heavy * r_all.kronecker(&z.glass);
        let mut leak = r.food_slopes.kronecker(&z_leads)
            + r_leads.kronecker(&z.food_slopes)
            + r_out.kronecker(&z_all)
            + r_all.kronecker(&z_out)
            + r.food.kronecker(&z.top);
        let lower = heat.cholesky()?.l();
        lower.solve_lower_triangular_mut(&mut leak);
        leak.transpose_mut();
        lower.solve_lower_triangular_mut(&mut leak);
        let eigen = SymmetricEigen::try_new(leak, f64::EPSILON, TURNS)?;
        let mut shares = eigen.eigenvectors;
        lower.tr_solve_lower_triangular_mut(&mut shares);
        Some(Self {
            rates: eigen.eigenvalues,
            shares,
            trials: (r.food.nrows(), z.food.nrows()),
        })
    }

    /// One function's shares, a row for each trial function along the height, a column along the radius.
    fn table(&self, k: usize) -> DMatrix<f64> {
        DMatrix::from_column_slice(self.trials.1, self.trials.0, self.shares.column(k).as_slice())
    }
}

/// The slow functions of the true jar, slowest first; none without glass.
///
/// * `round`, `upright`: a direction, its functions, and the films [W/(m² K)] they were made for
/// * `late_s`: time before the middle feels anything of them [s]
pub(crate) fn slow(
    (across, round, side): (&Direction, &[Mode], f64),
    (along, upright, [base, top]): (&Direction, &[Mode], [f64; 2]),
    late_s: f64,
) -> Vec<Slow> {
    let Some(layer) = across.glass.or(along.glass) else {
        return Vec::new();
    };
    let glass = Differs {
        heat: layer.heat_j_m3k / across.heat_j_m3k,
        leads: layer.k_w_mk / across.k_w_mk,
        films: (1.0 / along.rim(), 1.0 / across.rim()),
    };
    let many = polynomials(across.length_m, along.length_m);
    let rate = |film: f64, area: f64| film * area / across.heat_j_m3k;
    let (places_r, places_z) = (Places::new(across, STRETCHES.0), Places::new(along, STRETCHES.1));
    let sides = (rate(side, across.outer_area()), 0.0);
    let ends = (rate(base, along.outer_area()), rate(top, 1.0 / along.length_m));
    let trials_r = places_r.trials(across, many.0, sides);
    let trials_z = places_z.trials(along, many.1, ends);
    let (r, z) = (
        places_r.pairs(&trials_r, &trials_r),
        places_z.pairs(&trials_z, &trials_z),
    );
    let Some(ritz) = Ritz::new(&r, &z, &glass) else {
        return Vec::new();
    };
    let round = &round[..round.len().min(DRIVING.0)];
    let upright = &upright[..upright.len().min(DRIVING.1)];
    let r = places_r.pairs(&trials_r, &places_r.modes(across, round));
    let z = places_z.pairs(&trials_z, &places_z.modes(along, upright));
    let drives = Drives::new((&r, round), (&z, upright), &glass);
    let middles = (
        in_the_middle(-1.0, many.0, trials_r.len()),
        in_the_middle(0.0, many.1, trials_z.len()),
    );
    let mut order: Vec<usize> = (0..ritz.rates.len())
        .filter(|&k| ritz.rates[k] * late_s < DEAD)
        .collect();
    order.sort_by(|a, b| ritz.rates[*a].total_cmp(&ritz.rates[*b]));
    let told = order.into_iter().map(|k| {
        let table = ritz.table(k);
        Slow {
            rate: ritz.rates[k].max(0.0),
            middle: middles.1.dot(&(&table * &middles.0)),
            shares: drives.held(&table),
            pulls: drives.pulls(&table),
        }
    });
    told.collect()
}

/// Values of the trial functions in the middle, where the one in the glass is not.
fn in_the_middle(x: f64, polynomials: usize, many: usize) -> DVector<f64> {
    let values = legendre(x, polynomials);
    DVector::from_fn(many, |i, _| values.get(i).map_or(0.0, |value| value.0))
}

/// What the true jar has more than the products, as four products again: pairs of a trial function
/// and one of the jar's, along the radius and along the height.
struct Drives {
    more: [(DMatrix<f64>, DMatrix<f64>); 4],
    heat: (DMatrix<f64>, DMatrix<f64>),
}

impl Drives {
    fn new((r, round): (&Pairs, &[Mode]), (z, upright): (&Pairs, &[Mode]), glass: &Differs) -> Self {
        let (heavy, leads) = (glass.heat, glass.leads);
        let (side, base) = glass.films;
        let corner = |pairs: &DMatrix<f64>, modes: &[Mode]| {
            let rates = DMatrix::from_diagonal(&DVector::from_iterator(modes.len(), modes.iter().map(|m| m.rate)));
            heavy * (1.0 - heavy) * pairs * rates
        };
        let along = |pairs: &Pairs, film: f64, modes: &[Mode]| {
            (leads - heavy) * &pairs.food_slopes + (1.0 - heavy) * &pairs.glass_slopes + (film - heavy) * &pairs.outer
                - corner(&pairs.glass, modes)
        };
        Self {
            more: [
                (r.glass.clone(), along(z, base, upright) - heavy * &z.top),
                (along(r, side, round), z.glass.clone()),
                ((side - 1.0) * &r.outer, z.food.clone()),
                (r.food.clone(), (base - 1.0) * &z.outer),
            ],
            heat: (&r.food + heavy * &r.glass, &z.food + heavy * &z.glass),
        }
    }

    /// A function's table with a pair of tables, by rows of [`DRIVING`].
    fn with(table: &DMatrix<f64>, (r, z): &(DMatrix<f64>, DMatrix<f64>)) -> DMatrix<f64> {
        z.tr_mul(&(table * r))
    }

    fn pulls(&self, table: &DMatrix<f64>) -> Vec<f64> {
        let [first, rest @ ..] = &self.more;
        let sum = rest
            .iter()
            .fold(Self::with(table, first), |sum, more| sum + Self::with(table, more));
        sum.as_slice().to_vec()
    }

    fn held(&self, table: &DMatrix<f64>) -> Vec<f64> {
        Self::with(table, &self.heat).as_slice().to_vec()
    }
}
