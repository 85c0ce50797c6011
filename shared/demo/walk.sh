#!/usr/bin/env bash
# From a passing record to a signature, and what becomes of it when somebody edits the record afterwards.
#
# Everything happens in a folder of its own that is removed at the end. FILLWARD may name the program to run.
# Besides the usual tools of a GNU system it needs python3, jq, perl and openssl.
set -euo pipefail
for tool in python3 jq perl openssl; do
  command -v "$tool" > /dev/null || { echo "this walk needs $tool, which is not here" >&2; exit 1; }
done
cd "$(dirname "$0")/../.."
root=$PWD
if [ -z "${FILLWARD:-}" ]; then
  cargo build --release --locked --quiet
  FILLWARD=${CARGO_TARGET_DIR:-target}/release/fillward
fi
FILLWARD=$(realpath "$FILLWARD")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The shop lies where it is the middle of the morning now, so that what was inspected today still is.
zone=$(python3 "$root/shared/demo/move_to_today.py")

say() { printf '\n== %s\n' "$*"; }
must() { # expected exit code, then the command
  local due=$1 found=0
  shift
  "$@" || found=$?
  [ "$found" = "$due" ] || { echo "expected exit $due, found $found: $*" >&2; exit 1; }
}

say "A passing job, its instants moved from the demo morning to this one"
python3 "$root/shared/demo/move_to_today.py" "$root/shared/demo/jobs/pass-loader-bias-used.yaml" "$zone" > "$work/job.yaml"
cd "$work"
must 0 "$FILLWARD" check job.yaml --zone "$zone"

# An instant as the shop's clock shows it; the tool writes +00:00 where the file wants Z.
shop_time() { TZ=$zone date -d "$1" +%Y-%m-%dT%H:%M:%S%:z | sed 's/+00:00$/Z/'; }

say "Keys: one for the owner of the shop, one for its supervisor, one for its safety officer"
printf 'heron gravel window brass\n' > owner.pass
printf 'lantern copper meadow rain\n' > supervisor.pass
printf 'walnut harbour slate finch\n' > safety.pass
must 0 "$FILLWARD" key new --name "Marit Osei" --role owner --passphrase-file owner.pass
must 0 "$FILLWARD" key new --name "Odile Varga" --role supervisor --passphrase-file supervisor.pass
must 0 "$FILLWARD" key new --name "Tamsin Brandt" --role safety-officer --passphrase-file safety.pass

say "The trust file: who may sign what, and which pack is approved"
read -r name edition digest < <("$FILLWARD" trust packs)
start=$(date -u -d '-1 day' +%Y-%m-%dT%H:%M:%SZ) end=$(date -u -d '+365 days' +%Y-%m-%dT%H:%M:%SZ) now=$(date -u -d '-2 hours' +%Y-%m-%dT%H:%M:%SZ)
person() { # name, role, public key
  printf '  - name: %s\n    roles: [%s]\n    keys:\n      - from: %s\n        until: %s\n        public_key: |\n' "$1" "$2" "$start" "$end"
  sed 's/^/          /' "$3"
}
{
  printf 'format: fillward-trust/1\nshop: Hollow Tarn depot\nzone: %s\nversion: 1\nmade_at: %s\nends_at: %s\nowners_needed: 1\npeople:\n' "$zone" "$now" "$end"
  person "Marit Osei" owner marit-osei-owner.pub.pem
  person "Odile Varga" supervisor odile-varga-supervisor.pub.pem
  person "Tamsin Brandt" safety-officer tamsin-brandt-safety-officer.pub.pem
  printf 'packs:\n  - {name: %s, edition: "%s", sha256: %s, approved_by: Tamsin Brandt, from: %s}\n' "$name" "$edition" "$digest" "$start"
} > trust.yaml
must 0 "$FILLWARD" trust sign trust.yaml --key marit-osei-owner.key.pem --passphrase-file owner.pass --out trust.json
trust=(--trust trust.json --owner marit-osei-owner.pub.pem)

say "A supervisor does not sign by a trust file that nobody knows the owner of"
must 2 "$FILLWARD" sign job.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass --trust trust.json --yes

say "Sign, and verify: the fill may start"
must 0 "$FILLWARD" sign job.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"

say "The same without fillward"
sh "$root/tests/checklist/stock-tools.sh" job.checklist.json odile-varga-supervisor.pub.pem

say "Somebody edits one reading of the record: verify says why not, exit 1"
sed 's/target: {pressure: [0-9.]* psi/target: {pressure: 58 psi/' job.yaml > edited.yaml
cmp -s job.yaml edited.yaml && { echo "the edit changed nothing" >&2; exit 1; }
must 1 "$FILLWARD" verify job.checklist.json --record edited.yaml "${trust[@]}"

say "An older trust file put back in its place: it is noticed"
cp trust.json older.json
sed 's/^version: 1$/version: 2/' trust.yaml > next.yaml
must 0 "$FILLWARD" trust sign next.yaml --key marit-osei-owner.key.pem --passphrase-file owner.pass --out trust.json
must 0 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
cp older.json trust.json
must 3 "$FILLWARD" verify job.checklist.json --record job.yaml "${trust[@]}"
must 3 "$FILLWARD" trust sign trust.yaml --key marit-osei-owner.key.pem --passphrase-file owner.pass --out trust.json
must 0 "$FILLWARD" trust sign next.yaml --key marit-osei-owner.key.pem --passphrase-file owner.pass --out trust.json

say "Looking back says what could have been, and starts nothing"
must 1 "$FILLWARD" verify job.checklist.json --record job.yaml --at "$(shop_time now)" "${trust[@]}"

say "People stand too close to the cage: a HOLD, and a permit for as far as they stand now, which does not cover less"
sed 's/stand_off: 12 ft/stand_off: 9 ft/' job.yaml > close.yaml
sed 's/stand_off: 12 ft/stand_off: 2 ft/' job.yaml > closer.yaml
must 1 "$FILLWARD" sign close.yaml --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 0 "$FILLWARD" permit close.yaml --yes --rule stand-off-short --reason "a wall stands between the cage and the people" \
  --asked-by "Odile Varga" --until "$(shop_time '+2 hours')" --out stand-off.permit.json \
  --key tamsin-brandt-safety-officer.key.pem --passphrase-file safety.pass "${trust[@]}"
must 0 "$FILLWARD" sign close.yaml --permit stand-off.permit.json --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 0 "$FILLWARD" verify close.checklist.json --record close.yaml "${trust[@]}"
must 3 "$FILLWARD" sign closer.yaml --permit stand-off.permit.json --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes

say "A rehearsal can be signed, and never lets a fill start"
must 1 "$FILLWARD" sign job.yaml --at "$(shop_time now)" --out rehearsal.checklist.json \
  --key odile-varga-supervisor.key.pem --passphrase-file supervisor.pass "${trust[@]}" --yes
must 1 "$FILLWARD" verify rehearsal.checklist.json --record job.yaml "${trust[@]}"
