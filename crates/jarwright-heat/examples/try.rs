use jarwright_heat::case::*;
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;
use std::time::Instant;
fn speed() -> Case {
    let p=|d,a,b,h| Phase{duration_s:d,ambient_start_c:a,ambient_end_c:b,side:Film::Fixed(h),top_w_m2k:h};
    Case{ body: JarBody{inner_radius_m:0.0325,food_height_m:0.075,wall_m:0.0,base_m:0.0,glass_k_w_mk:1.05,glass_density_kg_m3:2500.0,glass_cp_j_kgk:840.0},
    contents: Contents{conductivity_w_mk:0.45,density_kg_m3:1150.0,heat_capacity_j_kgk:3100.0}, food_start_c:76.7, glass_start_c:76.7,
    phases: vec![p(600.0,82.0,100.0,1200.0),p(900.0,100.0,100.0,1200.0),p(5400.0,22.0,22.0,8.0)]}
}
fn j1() -> Case {
    let mut c=speed();
    c.body=JarBody{inner_radius_m:0.032,food_height_m:0.08,wall_m:0.003,base_m:0.003,glass_k_w_mk:1.05,glass_density_kg_m3:2500.0,glass_cp_j_kgk:840.0};
    c.contents=Contents{conductivity_w_mk:0.45,density_kg_m3:1140.0,heat_capacity_j_kgk:2865.0};
    c.food_start_c=70.0;c.glass_start_c=70.0;
    c.phases=vec![Phase{duration_s:3600.0,ambient_start_c:100.0,ambient_end_c:100.0,side:Film::Fixed(1000.0),top_w_m2k:0.0}];
    c
}
fn f(w:&[f64],c:&[f64])->f64{ w.iter().zip(c).map(|(w,c)| w*10f64.powf((c-93.3)/8.9)).sum::<f64>()/60.0 }
fn time<T>(n:usize, mut g:impl FnMut()->T)->f64{ let mut v:Vec<f64>=(0..n).map(|_|{let t=Instant::now(); std::hint::black_box(g()); t.elapsed().as_secs_f64()*1e6}).collect(); v.sort_by(f64::total_cmp); v[n/2]}
fn main(){
    let c=speed();
    let m=Modes::new(&c).unwrap();
    let d=m.dose_points(); let pk=m.peak(&d);
    println!("modes {} heard {:.1} trunc {:.2e} left {:.1e}  c600 {:.6} c1500 {:.6} peak {:?} F {:.5} pts {}", m.functions(), m.resolved_s(), m.truncation_k(), m.heat_left_out(), m.centre_c(600.0), m.centre_c(1500.0), pk, f(&d.weights_s,&d.centre_c), d.times_s.len());
    let fine=Modes::resolving(&c, 2.0).unwrap();
    println!("fine {} c600 {:.6} c1500 {:.6}", fine.functions(), fine.centre_c(600.0), fine.centre_c(1500.0));
    let mut w:f64=0.0; for i in 0..690 { let t=i as f64*10.0; w=w.max((m.centre_c(t)-fine.centre_c(t)).abs()); } println!("worst vs fine {w:.2e}");
    println!("new {:.2} us", time(2001,||Modes::new(&c).unwrap()));
    for n in 1..=3 { let mut c1=c.clone(); c1.phases.truncate(n); println!("new {n} phases {:.2} us", time(4001,||Modes::new(&c1).unwrap())); }
    { let mut c1=c.clone(); c1.phases.truncate(1); c1.phases[0].ambient_start_c=100.0; println!("new 1 no ramp {:.2} us", time(4001,||Modes::new(&c1).unwrap())); }
    println!("dose {:.2} us", time(2001,||m.dose_points()));
    println!("all {:.2} us", time(2001,||{let m=Modes::new(&c).unwrap(); let d=m.dose_points(); let p=m.peak(&d); (f(&d.weights_s,&d.centre_c),p)}));
    println!("fine {:.2} us", time(51,||Modes::resolving(&c, 2.0).unwrap()));
    for (nr,nz,dt) in [(10,13,25.0),(16,20,20.0),(20,26,15.0),(24,32,10.0),(24,40,10.0),(24,40,15.0),(24,40,20.0),(24,48,15.0),(30,60,10.0),(48,80,1.0)] {
        let g=Grid{radial:nr,axial:nz,wall:3,base:3,step_s:dt};
        let h=jar::solve(&c,&g).unwrap();
        let at=|t:f64|{let i=h.times_s.partition_point(|x| *x<t-1e-6); h.centre_c[i]};
        let pk=h.centre_c.iter().copied().fold(0.0,f64::max);
        let fl=jarwright_dose_min(&h.times_s,&h.centre_c);
        println!("grid {nr}x{nz} {dt}: c600 {:+.5} c1500 {:+.5} peak {:+.5} F {:+.4} ({:+.3} %) steps {} e {:.1e} {:.0} us", at(600.0)-77.198346, at(1500.0)-85.408451, pk-91.095053, fl, (fl/13.14636-1.0)*100.0, h.times_s.len(), h.energy_error, time(9,||jar::solve(&c,&g).unwrap()));
    }
    { let g=Grid::usual(&c); println!("{g:?} {:.0} us", time(51,||jar::solve(&c,&g).unwrap())); }
    let c=j1();
    let m=Modes::new(&c).unwrap();
    println!("j1 modes {} {:.2} us", m.functions(), time(501,||Modes::new(&c).unwrap()));
    let fine=Modes::resolving(&c, 5.0).unwrap();
    let ts=[300.0,600.0,900.0,1200.0,1800.0,2700.0,3600.0];
    let a=fine.answer(&ts);
    let want=[(70.0569, 70.0567),(71.8195, 71.7872),(75.7297, 75.5345),(80.0686, 79.6274),(87.2489, 86.4275),(93.6748, 92.8006),(96.8656, 96.2243)];
    for i in 0..7 { println!("{} {:+.4} {:+.4}", a.times_s[i+1], a.centre_c[i+1]-want[i].0, a.coldest_c[i+1]-want[i].1); }
    let mut c=j1(); c.food_start_c=95.0;c.glass_start_c=95.0;
    c.phases=vec![Phase{duration_s:5400.0,ambient_start_c:1.0,ambient_end_c:1.0,side:Film::Fixed(400.0),top_w_m2k:10.0}];
    let fine=Modes::resolving(&c, 5.0).unwrap();
    let a=fine.answer(&[600.0,1200.0,1800.0,2400.0,3600.0,5400.0]);
    let want=[(89.973, 90.008),(65.161, 65.623),(42.489, 43.277),(27.124, 27.934),(11.194, 11.716),(3.482, 3.658)];
    for i in 0..6 { println!("J3 {} {:+.4} {:+.4}", a.times_s[i+1], a.centre_c[i+1]-want[i].0, a.warmest_c[i+1]-want[i].1); }
    for (name, start, top, come) in [("day", 77.0, [0.0,8.0], 1620.0), ("poster", 70.0, [0.0, 0.0], 1650.0), ("warm", 66.0, [20.0,20.0],1500.0)] {
        let mut c=j1(); c.food_start_c=start; c.glass_start_c=start;
        let p=|d,a,b,h,t| Phase{duration_s:d,ambient_start_c:a,ambient_end_c:b,side:Film::Fixed(h),top_w_m2k:t};
        c.phases=vec![p(60.0,22.0,22.0,12.0,top[1]),p(come,82.0,100.0,1000.0,top[0]),p(900.0,100.0,100.0,1000.0,top[0]),p(9000.0,22.0,22.0,12.0,top[1])];
        let h=jar::solve(&c,&Grid::fine()).unwrap(); let m=Modes::new(&c).unwrap();
        let (mut hi,mut lo)=((0.0,0.0,0.0),(0.0,0.0,0.0));
        for (t,x) in h.times_s.iter().zip(&h.centre_c) { if *x<80.0 {continue;} let d=m.centre_c(*t)-x; if d>hi.0 {hi=(d,*t,*x);} if d<lo.0 {lo=(d,*t,*x);} }
        let d=m.dose_points();
        println!("{name} {hi:.3?} {lo:.3?} F {:.4} grid {:.4} {:.1} us", f(&d.weights_s,&d.centre_c), jarwright_dose_min(&h.times_s,&h.centre_c), time(501,||{let m=Modes::new(&c).unwrap(); m.dose_points()}));
    }
    for (nr,nz,ng,dt) in [(10,13,1,25.0),(20,26,2,15.0),(48,80,6,1.0)] {
        let g=Grid{radial:nr,axial:nz,wall:ng,base:ng,step_s:dt};
        let mut c=j1(); let p=c.phases[0]; c.phases=[300.0,300.0,300.0,300.0,600.0,900.0,900.0].iter().map(|d| Phase{duration_s:*d,..p}).collect();
        let h=jar::solve(&c,&g).unwrap();
        let want=[(70.0569, 70.0567),(71.8195, 71.7872),(75.7297, 75.5345),(80.0686, 79.6274),(87.2489, 86.4275),(93.6748, 92.8006),(96.8656, 96.2243)];
        print!("grid J1 {nr}:"); for (k,i) in h.phase_ends.iter().enumerate() { print!(" {:+.4}/{:+.4}", h.centre_c[*i]-want[k].0, h.coldest_c[*i]-want[k].1);} println!();
    }
}
fn jarwright_dose_min(t:&[f64],c:&[f64])->f64{ let mut s=0.0; for i in 1..t.len(){ let n=8; for k in 0..n { let u=(k as f64+0.5)/n as f64; s+=(t[i]-t[i-1])/n as f64*10f64.powf((c[i-1]+u*(c[i]-c[i-1])-93.3)/8.9);} } s/60.0 }
