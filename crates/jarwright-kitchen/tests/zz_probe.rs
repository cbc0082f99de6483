mod fixture;
use fixture::*;
#[test]
fn probe() -> Result<(), Any> {
    for jars in [1u64, 3, 6, 8, 10, 14, 20, 24, 48, 60] {
        for (n, t, j) in [("jam", APRICOT_JAM, "half-pint"), ("lime", LIME_CURD, "half-pint"), ("dill", DILL, "pint")] {
            let t0 = std::time::Instant::now();
            match plan(t, jars, j) {
                Ok(p) => println!("{n} {jars}: per batch {} batches {} cook {} {:?} {}", p.batches[0].jars.value, p.weigh[0].batches, p.batches[0].cook.value, t0.elapsed(), p.batches[0].bound_by),
                Err(e) => println!("{n} {jars}: {}", e.to_string().lines().next().unwrap_or("")),
            }
        }
    }
    Ok(())
}
