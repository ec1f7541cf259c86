//! Planted causes in invented fleets: each is found, what cannot be told apart is named together, chance stays rare.

use super::*;
use crate::random::Random;
use crate::triage::group::groups;
use crate::triage::row::Row;

/// The planted causes: the attributes that are one cause, its value, its finding.
const PLANTED: [(&[&str], &str, &str); 5] = [
    (&["firmware"], "03.07", "device/restarts"),
    (&["area"], "00AF", "registration/area"),
    (&["access-point-name"], "gauge.example", "bearer/apn-unknown"),
    (&["card-range"], "89882110003", "registration/subscriber"),
    (&["profile", "tag:depot"], "north", "radio/technology"),
];

/// 2,000 sites with the planted causes, with failures of each kind by chance, and with attributes that hang together:
/// a firmware belongs to a model, an area to a network, and the profile is chosen by the depot.
fn planted(seed: u64) -> Fleet {
    let mut random = Random::seeded(seed);
    let mut fleet = Fleet::default();
    let mut one_of = |n: u64| random.next_u64() % n;
    for number in 0..2000 {
        let mut row = Row { site: format!("site-{number:04}").into(), ..Row::default() };
        let mut note = |name: &str, value: String| {
            row.attributes.insert(name.into(), value);
        };
        let firmware = one_of(12);
        note("firmware", format!("03.{firmware:02}"));
        note("model", format!("G{}", firmware / 4));
        let area = one_of(40);
        note("area", format!("00{:02X}", 0x90 + area));
        note("network", format!("0010{}", area / 10));
        note("band", format!("LTE {}", [3, 8, 20][usize::try_from(one_of(3)).unwrap()]));
        let names = ["gauge.example", "meter.example", "iot.example", "m2m.example", "a.example"];
        note("access-point-name", names[usize::try_from(one_of(5)).unwrap()].into());
        note("card-range", format!("898821100{:02}", one_of(10)));
        let depot = ["north", "south", "east", "west", "hill", "coast"]
            [usize::try_from(one_of(6)).unwrap()];
        note("tag:depot", depot.into());
        note("profile", depot.into());
        note("tag:supply", ["mains", "solar"][usize::try_from(one_of(2)).unwrap()].into());
        note("tag:mast", format!("m{}", one_of(8)));
        // A cause that did not strike leaves the site to the next one, so the causes stay independent.
        let caused = PLANTED.iter().find(|(names, value, _)| {
            row.attributes.get(names[0]).is_some_and(|v| v == value) && one_of(100) < 40
        });
        let finding = match caused {
            Some((.., finding)) => finding,
            None if one_of(100) < 5 => PLANTED[usize::try_from(one_of(5)).unwrap()].2,
            None => "connected",
        };
        row.finding = Some(finding.into());
        fleet.add(row);
    }
    fleet
}

#[test]
fn planted_causes_are_found_and_few_others() {
    let mut found = [0; PLANTED.len()];
    let mut together = 0;
    let (mut claims, mut wrong) = (0, 0);
    for seed in 1..=20 {
        let fleet = planted(seed);
        let groups = groups(&fleet);
        for (group, shared) in groups.iter().zip(shared(&fleet, &groups)) {
            let finding = fleet.text(group.finding);
            let at = PLANTED.iter().position(|p| p.2 == finding).unwrap();
            let (names, value, _) = PLANTED[at];
            for claim in &shared {
                claims += 1;
                let mut claimed: Vec<_> =
                    claim.traits.iter().map(|t| (fleet.text(t.0), fleet.text(t.1))).collect();
                claimed.sort_unstable();
                let right = claimed == names.iter().map(|n| (*n, value)).collect::<Vec<_>>();
                found[at] += usize::from(right);
                together += usize::from(right && names.len() == 2);
                wrong += usize::from(!right);
            }
        }
    }
    assert!(found.iter().all(|n| *n >= 19), "{found:?} of 20");
    assert!(together >= 19, "{together} of 20");
    assert!(wrong * 20 <= claims, "{wrong} wrong of {claims}");
    println!("found {found:?} of 20, together {together}, {wrong} wrong of {claims}");
}

#[test]
fn without_a_cause_hardly_anything_is_claimed() {
    let mut claims = 0;
    for seed in 1..=20 {
        let mut random = Random::seeded(seed);
        let mut fleet = Fleet::default();
        for number in 0..1000 {
            let finding =
                if random.next_u64().is_multiple_of(10) { "radio/weak" } else { "connected" };
            let mut row =
                Row { site: number.into(), finding: Some(finding.into()), ..Row::default() };
            for attribute in ["area", "firmware", "tag:depot"] {
                row.attributes.insert(attribute.into(), (random.next_u64() % 12).to_string());
            }
            fleet.add(row);
        }
        let groups = groups(&fleet);
        claims += shared(&fleet, &groups).iter().map(Vec::len).sum::<usize>();
    }
    assert!(claims <= 3, "{claims} in 20 fleets");
}

/// `failing` of 100 sites with the trait and none of 100 without it.
fn fleet(failing: u32) -> Fleet {
    let mut fleet = Fleet::default();
    for number in 0..200 {
        let finding = if number < failing { "radio/weak" } else { "connected" };
        let mut row = Row { site: number.into(), finding: Some(finding.into()), ..Row::default() };
        let word = if number < failing { "03.07" } else { "03.06" };
        row.attributes.insert("firmware".into(), word.into());
        fleet.add(row);
    }
    fleet
}

#[test]
fn four_sites_prove_nothing_and_five_are_told_in_a_sentence() {
    let told = |failing| {
        let fleet = fleet(failing);
        let groups = groups(&fleet);
        let found = shared(&fleet, &groups);
        found[0].iter().map(|s| s.sentence(&fleet)).collect::<Vec<_>>()
    };
    assert!(told(4).is_empty());
    assert_eq!(
        told(5),
        [
            "5 of 5 failing sites have firmware 03.07; 0 of 195 healthy ones do: 100 points more (95 % bounds 57 to 100; chance 4e-10)"
        ]
    );
}
