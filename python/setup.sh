# Sourced by python/demo.sh and tests/run.sh: goes to the checkout and gives them
#   need_packages NAME...   Debian or Ubuntu packages, by apt-get, as root or with sudo
#   need_source NAME...     what such packages are made of, in .build/sources/NAME
#   need_python NAME...     Python packages, into the virtual environment .build/venv
# What is there already costs a look and no network. Progress goes to standard error, details to .build/setup.log.

cd -P "$(dirname "${BASH_SOURCE[0]}")/.."
mkdir -p .build
venv=$PWD/.build/venv
log=$PWD/.build/setup.log
export PATH=$venv/bin:$PATH CMAKE_GENERATOR=Ninja
if command -v ccache >/dev/null; then export CMAKE_CXX_COMPILER_LAUNCHER=ccache; fi

build_packages=(g++ cmake ninja-build libboost-dev libeigen3-dev libyaml-cpp-dev nlohmann-json3-dev python3-dev python3-venv)
build_python=('scikit-build-core>=0.10' 'pybind11>=2.10' 'numpy>=1.23')

say() { echo "offnominal: $*" >&2; }
fail() { say "$*" && exit 1; }

need_packages() {
    local missing=() name as_root=()
    for name in "$@"; do
        [[ $(dpkg-query -W -f='${db:Status-Status}' "$name" 2>/dev/null) == installed ]] || missing+=("$name")
    done
    [[ ${#missing[@]} -gt 0 ]] || return 0
    [[ $(id -u) == 0 ]] || as_root=(sudo)
    for name in "${as_root[@]}" apt-get; do
        command -v "$name" >/dev/null || fail "lacks ${missing[*]}, and cannot install them without $name"
    done
    say "installing ${missing[*]}"
    {
        "${as_root[@]}" apt-get update
        "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
            apt-get -o DPkg::Lock::Timeout=300 install -y --no-install-recommends "${missing[@]}"
    } >"$log" 2>&1 </dev/null || fail "lacks ${missing[*]}, and could not install them: see $log"
}

need_source() {
    local apt=.build/sources/apt name file
    for name in "$@"; do
        [[ ! -d .build/sources/$name ]] || continue
        say "fetching the sources of $name"
        # A list of where sources are, beside that of the machine, which stays as it is.
        mkdir -p $apt/parts $apt/lists/partial $apt/get
        for file in /etc/apt/sources.list /etc/apt/sources.list.d/{debian,ubuntu}.sources; do
            [[ ! -e $file ]] || sed 's/^deb /deb-src /; s/^Types:.*/Types: deb-src/' "$file" >"$apt/parts/${file##*/}"
        done
        local options=(-o "Dir::Etc::sourcelist=/dev/null" -o "Dir::Etc::sourceparts=$PWD/$apt/parts" -o "Dir::State::lists=$PWD/$apt/lists")
        {
            apt-get "${options[@]}" update && (cd $apt/get && apt-get "${options[@]}" source --download-only "$name") &&
                mkdir .build/sources/$name.new && tar -xf $apt/get/${name}_*.orig.tar.* --strip-components=1 -C .build/sources/$name.new &&
                mv .build/sources/$name.new .build/sources/$name
        } >"$log" 2>&1 </dev/null || fail "lacks the sources of $name, and could not fetch them: see $log"
    done
}

need_python() {
    local have=$venv/have missing=() name
    if ! [[ -e $have ]] || ! "$venv/bin/python" -c '' 2>/dev/null; then
        # The system's own Python: one from a version manager may lack headers.
        /usr/bin/python3 -m venv --clear "$venv" >"$log" 2>&1 || fail "could not make a virtual environment: see $log"
        touch "$have"
    fi
    for name in "$@"; do
        grep -qxF -e "$name" "$have" || missing+=("$name")
    done
    [[ ${#missing[@]} -gt 0 ]] || return 0
    say "installing ${missing[*]}"
    # uv, where it was asked for, takes a tenth of pip's time; what it cannot reach, pip may.
    { "$venv/bin/uv" pip install --python "$venv/bin/python" "${missing[@]}" || "$venv/bin/python" -m pip install "${missing[@]}"; } \
        >"$log" 2>&1 || fail "lacks ${missing[*]}, and could not install them: see $log"
    printf '%s\n' "${missing[@]}" >>"$have"
}

# What every build needs. Ubuntu 22.04 has a CMake older than ours.
need_build() {
    need_packages "${build_packages[@]}" "$@"
    need_python "${build_python[@]}"
    if ! cmake --version | awk 'NR == 1 { split($3, v, "."); exit !(v[1] > 3 || v[2] >= 25) }'; then
        need_python 'cmake>=3.25,<4'
    fi
}
