//! x
use jarwright_heat::case::*;
use jarwright_heat::modes::Modes;
fn main(){
    let p=|d,a,b,h| Phase{duration_s:d,ambient_start_c:a,ambient_end_c:b,side:Film::Fixed(h),top_w_m2k:h};
    let c=Case{ body: JarBody{inner_radius_m:0.0325,food_height_m:0.075,wall_m:0.0,base_m:0.0,glass_k_w_mk:1.05,glass_density_kg_m3:2500.0,glass_cp_j_kgk:840.0},
    contents: Contents{conductivity_w_mk:0.45,density_kg_m3:1150.0,heat_capacity_j_kgk:3100.0}, food_start_c:76.7, glass_start_c:76.7,
    phases: vec![p(600.0,82.0,100.0,1200.0),p(900.0,100.0,100.0,1200.0),p(5400.0,22.0,22.0,8.0)]};
    let mut s=0.0;
    for _ in 0..100000 { let m=Modes::new(std::hint::black_box(&c)).unwrap(); s+=m.truncation_k(); }
    println!("{s}");
}
