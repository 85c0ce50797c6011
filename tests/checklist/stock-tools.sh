#!/bin/sh
# Verifies a signature of a checklist, a permit or a trust file with nothing but jq, base64 and openssl 3.
#
#   stock-tools.sh FILE PUBLIC-KEY.pem [SIGNATURE-NUMBER, from 0] [checklist, permit or trust]
#
# It says whether the file is in exact form, whether the header names Ed25519, this kind of document and this key, and
# whether the signature is by this key. Whose key it is, and whether that person may sign, the shop's trust file says.
set -eu
file=$1 key=$2 number=${3:-0} kind=${4:-checklist}
member=$kind
[ "$kind" != trust ] || member=shop_trust
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

refuse() {
    echo "$1" >&2
    exit 3
}

# The file must be the sorted print of its own content; otherwise a second member of one name could hide in it.
jq -S . "$file" | cmp -s - "$file" || refuse "not in exact form"

url() { base64 -w0 | tr '+/' '-_' | tr -d '='; }
unurl() { { tr -- '-_' '+/'; printf '=='; } | base64 -d 2> /dev/null || true; }
# What was signed: the protected header, a full stop, the body's canonical bytes in base64url (RFC 7515, appendix F).
{
    jq -rj ".signatures[$number].protected" "$file"
    printf .
    jq -cjS ".$member" "$file" | url
} > "$work/input"
jq -rj ".signatures[$number].signature" "$file" | unurl > "$work/signature"

# The header: who claims to have signed, in which role, when. It must name the one algorithm, this kind of document and
# this key by its thumbprint (RFC 7638), and have no member that could say otherwise to another program.
jq -rj ".signatures[$number].protected" "$file" | unurl > "$work/header"
cat "$work/header"
echo
jq -cjS . "$work/header" 2> /dev/null | cmp -s - "$work/header" || refuse "the header is not in exact form"
member_of() { jq -r ".$1" "$work/header"; }
[ "$(jq -c keys "$work/header")" = '["alg","kid","role","signed_at","typ"]' ] || refuse "the header has other members"
[ "$(member_of alg)" = Ed25519 ] || refuse "the header names another algorithm"
[ "$(member_of typ)" = "fillward-$kind+jws" ] || refuse "the signature was made for another kind of document"
x=$(openssl pkey -pubin -in "$key" -outform DER | tail -c 32 | url)
kid=$(printf '{"crv":"Ed25519","kty":"OKP","x":"%s"}' "$x" | openssl dgst -sha256 -binary | url)
[ "$(member_of kid)" = "$kid" ] || refuse "the header names another key"
openssl pkeyutl -verify -pubin -inkey "$key" -rawin -in "$work/input" -sigfile "$work/signature" || exit 3
