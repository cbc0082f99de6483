use jarwright_heat::case::{Case, Contents, Film, JarBody, Phase};
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;
use std::io::Write;

fn ph(seconds: f64, from_c: f64, to_c: f64, f: [f64; 3]) -> Phase {
    Phase { duration_s: seconds, ambient_start_c: from_c, ambient_end_c: to_c,
        side: Film::Apart { side_w_m2k: f[0], base_w_m2k: f[1] }, top_w_m2k: f[2] }
}
fn body(r: f64, h: f64, w: f64, b: f64) -> JarBody {
    JarBody { inner_radius_m: r, food_height_m: h, wall_m: w, base_m: b, glass_k_w_mk: 1.05, glass_density_kg_m3: 2500.0, glass_cp_j_kgk: 840.0 }
}
fn food(k: f64, rho: f64, cp: f64) -> Contents { Contents { conductivity_w_mk: k, density_kg_m3: rho, heat_capacity_j_kgk: cp } }

fn main() {
    let bath = [1000.0, 1000.0, 0.0];
    let air = [12.0, 12.0, 8.0];
    let day = |t: f64| vec![ph(60.0, 22.0, 22.0, air), ph(1620.0*t, 82.0, 100.0, bath), ph(900.0*t, 100.0, 100.0, bath), ph(9000.0*t, 22.0, 22.0, air)];
    let curd = food(0.45, 1140.0, 2865.0);
    let mut cases: Vec<(&str, Case)> = vec![];
    let mut add = |n, b, f, s: f64, p: Vec<Phase>| cases.push((n, Case { body: b, contents: f, food_start_c: s, glass_start_c: s, phases: p }));
    let j = body(0.032, 0.08, 0.003, 0.003);
    add("J1", j, curd, 70.0, vec![ph(3600.0, 100.0, 100.0, bath)]);
    add("J1cold", j, curd, 20.0, vec![ph(3600.0, 100.0, 100.0, bath)]);
    add("day77", j, curd, 77.0, day(1.0));
    add("day20", j, curd, 20.0, day(1.0));
    add("toptop", j, curd, 72.0, vec![ph(1500.0, 82.0, 100.0, [1000.0,1000.0,20.0]), ph(900.0, 100.0, 100.0, [1000.0,1000.0,20.0]), ph(9000.0, 22.0, 22.0, [12.0,12.0,20.0])]);
    add("base5", body(0.032, 0.08, 0.0025, 0.004), curd, 60.0, day(1.0));
    add("squat", body(0.042, 0.05, 0.003, 0.004), curd, 60.0, day(1.0));
    add("tall", body(0.035, 0.15, 0.003, 0.003), curd, 60.0, day(1.3));
    add("tiny", body(0.02, 0.045, 0.002, 0.002), curd, 40.0, day(0.5));
    add("quart", body(0.045, 0.16, 0.003, 0.003), food(0.5, 1050.0, 3600.0), 40.0, day(2.5));
    add("jam", j, food(0.38, 1300.0, 2600.0), 85.0, vec![ph(600.0, 100.0, 100.0, bath), ph(9000.0, 22.0, 22.0, air)]);
    add("pasteur72", j, curd, 20.0, vec![ph(1500.0, 40.0, 75.0, [600.0,600.0,0.0]), ph(2400.0, 75.0, 75.0, [600.0,600.0,0.0]), ph(9000.0, 22.0, 22.0, air)]);
    add("step72", j, curd, 5.0, vec![ph(3600.0, 72.0, 72.0, [600.0,600.0,0.0]), ph(3000.0, 20.0, 20.0, [300.0,300.0,10.0])]);
    add("thick", body(0.032, 0.08, 0.004, 0.004), curd, 20.0, day(1.0));
    add("thin", body(0.032, 0.08, 0.0015, 0.0015), curd, 20.0, day(1.0));
    add("apart", j, curd, 40.0, vec![ph(3000.0, 100.0, 100.0, [1000.0, 150.0, 20.0]), ph(9000.0, 22.0, 22.0, [14.0, 4.0, 6.0])]);
    add("steam", j, curd, 40.0, vec![ph(3000.0, 100.0, 100.0, [5000.0, 5000.0, 100.0]), ph(9000.0, 22.0, 22.0, [5.0, 5.0, 3.0])]);
    let bare = [12.0, 12.0, 0.0];
    for (n, b) in [("ntJ", j), ("ntTall", body(0.035, 0.15, 0.003, 0.003)), ("ntThick", body(0.032, 0.08, 0.004, 0.004)), ("ntSide", body(0.032, 0.08, 0.003, 0.0)), ("ntBase", body(0.032, 0.08, 0.0, 0.003))] {
        add(n, b, curd, 60.0, vec![ph(2400.0, 100.0, 100.0, bath), ph(9000.0, 22.0, 22.0, bare)]);
    }
    add("tSide", body(0.032, 0.08, 0.003, 0.0), curd, 60.0, vec![ph(2400.0, 100.0, 100.0, bath), ph(9000.0, 22.0, 22.0, air)]);
    add("tBase", body(0.032, 0.08, 0.0, 0.003), curd, 60.0, vec![ph(2400.0, 100.0, 100.0, bath), ph(9000.0, 22.0, 22.0, air)]);
    add("ice", j, curd, 95.0, vec![ph(5400.0, 1.0, 1.0, [400.0,400.0,10.0])]);
    let names: Vec<String> = std::env::args().skip(1).collect();
    for (name, case) in &cases {
        if !names.is_empty() && !names.iter().any(|n| n == name) { continue; }
        let file = format!("/tmp/heatref/{name}.txt");
        std::fs::create_dir_all("/tmp/heatref").unwrap();
        if std::env::var("GRIDCHECK").is_ok() || !std::path::Path::new(&file).exists() {
            let g = |r, a, w, s| jar::solve(case, &Grid { radial: r, axial: a, wall: w, base: w, step_s: s }).unwrap();
            let a = g(64, 96, 8, 2.0);
            let b = g(96, 144, 12, 1.0);
            let times: Vec<f64> = (1..400).map(|i| i as f64 / 400.0 * case.duration_s()).collect();
            let (aa, bb) = (a.at(&times), b.at(&times));
            let mut out = std::fs::File::create(&file).unwrap();
            let mut worst = 0.0f64;
            for i in 0..bb.times_s.len() {
                // both second order: h ratio 1.5
                let e = bb.centre_c[i] - aa.centre_c[i];
                worst = worst.max(e.abs());
                let r = bb.centre_c[i] + e / 1.25;
                writeln!(out, "{} {} {} {}", bb.times_s[i], r, bb.coldest_c[i], bb.mean_c[i]).unwrap();
            }
            println!("{name}: grids apart {worst:.5}");
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let modes = match Modes::new(case) { Ok(m) => m, Err(e) => { println!("{name}: {e}"); continue } };
        let (mut hot, mut cold, mut hotall) = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), (0.0, 0.0, 0.0));
        for line in text.lines() {
            let v: Vec<f64> = line.split(' ').map(|x| x.parse().unwrap()).collect();
            let miss = modes.centre_c(v[0]) - v[1];
            if v[1] > 55.0 {
                if miss > hot.0 { hot = (miss, v[0], v[1]); }
                if miss < cold.0 { cold = (miss, v[0], v[1]); }
            }
            if miss > hotall.0 { hotall = (miss, v[0], v[1]); }
        }
        let t = std::time::Instant::now();
        let mut n = 0;
        let mut best = f64::INFINITY;
        while t.elapsed().as_millis() < std::env::var("MS").map_or(60, |x| x.parse().unwrap()) {
            let t1 = std::time::Instant::now();
            let m = Modes::new(case).unwrap();
            let p = m.dose_points();
            std::hint::black_box(m.peak(&p));
            best = best.min(t1.elapsed().as_secs_f64() * 1e6);
            n += 1;
        }
        let _ = n;
        println!("{name:10} hot {:.4} at {:.0} s {:.1} C | cold {:.4} at {:.0} s {:.1} C | any {:.4} at {:.0} s {:.1} C | {} fn, {best:.0} us", hot.0, hot.1, hot.2, cold.0, cold.1, cold.2, hotall.0, hotall.1, hotall.2, modes.functions());
    }
}
