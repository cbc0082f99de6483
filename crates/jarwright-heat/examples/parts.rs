//! x
use jarwright_heat::case::*;
use jarwright_heat::jar::{self, Grid};
use jarwright_heat::modes::Modes;
fn main(){
    for (s,b,t) in [(12.0,0.0,0.0),(0.0,12.0,0.0),(0.0,0.0,20.0),(12.0,12.0,0.0),(12.0,12.0,20.0),(1000.0,0.0,0.0),(0.0,1000.0,0.0),(1000.0,1000.0,0.0)] {
    let p=|d,a,b1| Phase{duration_s:d,ambient_start_c:a,ambient_end_c:b1,side:Film::Apart{side_w_m2k:s,base_w_m2k:b},top_w_m2k:t};
    let c=Case{ body: JarBody{inner_radius_m:0.032,food_height_m:0.08,wall_m:0.003,base_m:0.003,glass_k_w_mk:1.05,glass_density_kg_m3:2500.0,glass_cp_j_kgk:840.0},
    contents: Contents{conductivity_w_mk:0.45,density_kg_m3:1140.0,heat_capacity_j_kgk:2865.0}, food_start_c:90.0, glass_start_c:90.0,
    phases: vec![p(6000.0,20.0,20.0)]};
    let g=Grid{radial:48,axial:80,wall:6,base:6,step_s:4.0};
    let h=jar::solve(&c,&g).unwrap(); let m=Modes::resolving(&c,10.0).unwrap(); let a=m.answer(&h.times_s);
    print!("{s} {b} {t}:");
    for t in [300.0,600.0,1200.0,2000.0,3000.0,4000.0,6000.0] { let i=h.times_s.iter().position(|x| *x>=t-1e-6).unwrap(); print!("  {:.0}: {:.2} {:+.4}/{:+.4}", h.times_s[i], h.centre_c[i], a.centre_c[i]-h.centre_c[i], a.mean_c[i]-h.mean_c[i]); }
    println!();
    }
}
