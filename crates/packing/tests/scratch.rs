//! s
mod common;
use common::*;
use std::collections::BTreeMap;
#[test]
fn scratch() {
    let text = std::fs::read_to_string("/tmp/bpp.txt").unwrap();
    let mut sums: BTreeMap<String,(u32,u32,u32,f64,f64)> = BTreeMap::new();
    for line in text.lines() {
        let mut w = line.split(' ');
        let class = w.next().unwrap().to_string();
        let cap: i64 = w.next().unwrap().parse().unwrap();
        let opt: i64 = w.next().unwrap().parse().unwrap();
        let items: Vec<(i64,u32)> = w.map(|x| { let (a,b)=x.split_once(':').unwrap(); (a.parse().unwrap(), b.parse().unwrap()) }).collect();
        let j = job(&items, &[(cap,1)], 0,0,(0,0));
        let t=std::time::Instant::now();
        let c = packing::solve(&j, &packing::Limits::default(), &|| false).unwrap();
        let e = t.elapsed().as_secs_f64();
        assert!(c.cost >= opt);
        if proven(&c) { assert_eq!(c.cost, opt); }
        if let packing::Status::Bound{lower,..} = c.status { assert!(lower <= opt); }
        let s = sums.entry(class).or_default();
        s.0 += 1; s.1 += u32::from(proven(&c)); s.2 += u32::from(c.cost==opt); s.3 += e; s.4 = s.4.max(e);
    }
    for (k,v) in sums { eprintln!("{k}: {} proven {} optimal {} total {:.2} max {:.2}", v.0,v.1,v.2,v.3,v.4); }
}
