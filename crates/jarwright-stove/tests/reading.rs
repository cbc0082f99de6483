//! Logs as kitchens have them, and the laws a reader keeps.
#[test]
fn smoke() {
    let log = "Serial,12345\nName;x\nTime (min);Centre (°C);Bath (°C)\n0;20,5;100\n10;90,1;100\n20;OL;100\n30;90,4;100,2\n\nend of log\n";
    let asked = jarwright_stove::Asked { lethality: vec!["90:10".into()], medium: Some("bath".into()), ..Default::default() };
    let report = jarwright_stove::read(&|| Ok(Box::new(log.as_bytes())), &asked);
    match report { Ok(r) => println!("{r:#?}"), Err(e) => println!("{e} {}", e.hint()) }
}
