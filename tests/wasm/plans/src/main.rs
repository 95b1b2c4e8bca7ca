//! Prints the fingerprints of so many jobs, one a line.

fn main() {
    let count = std::env::args().nth(1).and_then(|count| count.parse().ok()).unwrap_or(60);
    for number in 0..count {
        println!("{}", packing_plans::fingerprint(number));
    }
}
