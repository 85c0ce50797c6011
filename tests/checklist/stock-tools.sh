#!/bin/sh
# Verifies the signatures of a checklist with nothing but jq, base64 and openssl 3.
#
#   stock-tools.sh CHECKLIST PUBLIC-KEY.pem [SIGNATURE-NUMBER, from 0]
#
# It says whether the file is in exact form and whether the signature is by this key. Whose key it is, and whether that
# person may sign, the shop's trust file says.
set -eu
file=$1 key=$2 number=${3:-0}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The file must be the sorted print of its own content; otherwise a second member of one name could hide in it.
jq -S . "$file" | cmp -s - "$file" || { echo "not in exact form" >&2; exit 3; }

url() { base64 -w0 | tr '+/' '-_' | tr -d '='; }
# What was signed: the protected header, a full stop, the body's canonical bytes in base64url (RFC 7515, appendix F).
{
    jq -rj ".signatures[$number].protected" "$file"
    printf .
    jq -cjS .checklist "$file" | url
} > "$work/input"
{ jq -rj ".signatures[$number].signature" "$file" | tr -- '-_' '+/'; printf '=='; } | base64 -d > "$work/signature"

# The header, for reading: who claims to have signed, in which role, when.
{ jq -rj ".signatures[$number].protected" "$file" | tr -- '-_' '+/'; printf '=='; } | base64 -d 2> /dev/null || true
echo
openssl pkeyutl -verify -pubin -inkey "$key" -rawin -in "$work/input" -sigfile "$work/signature" || exit 3
