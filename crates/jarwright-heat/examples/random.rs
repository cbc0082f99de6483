use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase};
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;
fn main() {
    let mut seed: u64 = std::env::args().nth(1).map_or(1, |x| x.parse().unwrap());
    let n: usize = std::env::args().nth(2).map_or(100, |x| x.parse().unwrap());
    let mut u = move |a: f64, b: f64| { seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407); a + (b - a) * ((seed >> 33) as f64 / (1u64 << 31) as f64) };
    let mut all: Vec<(f64, f64, f64)> = vec![];
    let mut done = 0;
    while done < n {
        let body = JarBody { inner_radius_m: u(0.02, 0.05), food_height_m: u(0.04, 0.16), wall_m: u(0.002, 0.004), base_m: u(0.002, 0.004), glass_k_w_mk: u(0.95, 1.2), glass_density_kg_m3: 2500.0, glass_cp_j_kgk: u(750.0, 880.0) };
        let food = Contents { conductivity_w_mk: u(0.35, 0.62), density_kg_m3: u(1000.0, 1350.0), heat_capacity_j_kgk: u(2400.0, 4000.0) };
        let start = u(15.0, 92.0);
        let slow = body.inner_radius_m.powi(2) / food.diffusivity_m2_s();
        let bath = u(300.0, 4000.0); let base = bath * u(0.4, 1.2);
        let top = if u(0.0, 1.0) < 0.5 { 0.0 } else { u(2.0, 25.0) };
        let air = u(5.0, 20.0); let ab = air * u(0.5, 1.2); let at = if top == 0.0 && u(0.0, 1.0) < 0.5 { 0.0 } else { u(1.0, air) };
        let hot = u(75.0, 105.0);
        let ph = |d: f64, a: f64, b: f64, f: [f64; 3]| Phase { duration_s: d, ambient_start_c: a, ambient_end_c: b, side: Film::Apart { side_w_m2k: f[0], base_w_m2k: f[1] }, top_w_m2k: f[2] };
        let mut phases = vec![];
        if u(0.0, 1.0) < 0.5 { phases.push(ph(u(20.0, 400.0), 22.0, 22.0, [air, ab, at])); }
        phases.push(ph(u(0.2, 0.9) * slow, u(20.0, hot), hot, [bath, base, top]));
        phases.push(ph(u(0.05, 0.8) * slow, hot, hot, [bath, base, top]));
        phases.push(ph(u(2.0, 5.0) * slow, 22.0, 22.0, if u(0.0, 1.0) < 0.8 { [air, ab, at] } else { [u(100.0, 600.0), 300.0, at] }));
        let case = Case { body, contents: food, food_start_c: start, glass_start_c: if u(0.0,1.0)<0.3 { u(20.0, 90.0) } else { start }, phases };
        let modes = match Modes::new(&case) { Ok(m) => m, Err(_) => continue };
        done += 1;
        let g = |r, a, w, s: f64| jar::solve(&case, &Grid { radial: r, axial: a, wall: w, base: w, step_s: s }).unwrap();
        let a = g(40, 60, 6, 4.0); let b = g(60, 90, 9, 2.6667);
        let times: Vec<f64> = (1..300).map(|i| i as f64 / 300.0 * case.duration_s()).collect();
        let (a, b) = (a.at(&times), b.at(&times));
        let (mut hot, mut cold, mut gap) = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), 0.0f64);
        for i in 0..b.times_s.len() {
            let e = b.centre_c[i] - a.centre_c[i]; let c = b.centre_c[i] + e / 1.25; gap = gap.max(e.abs());
            if c < 55.0 { continue; }
            let m = modes.centre_c(b.times_s[i]) - c;
            if m > hot.0 { hot = (m, b.times_s[i], c); } if m < cold.0 { cold = (m, b.times_s[i], c); }
        }
        all.push((hot.0, cold.0, gap));
        if hot.0 > 0.012 || cold.0 < -0.04 { println!("hot {hot:.4?} cold {cold:.4?} gap {gap:.4} {case:?}"); }
    }
    let q = |f: &dyn Fn(&(f64, f64, f64)) -> f64| { let mut v: Vec<f64> = all.iter().map(f).collect(); v.sort_by(f64::total_cmp); (v[v.len() / 2], v[v.len() * 9 / 10], v[v.len() - 1]) };
    println!("hot median/p90/max {:.4?}; cold {:.4?}; grids apart {:.4?}", q(&|x| x.0), q(&|x| -x.1), q(&|x| x.2));
}
