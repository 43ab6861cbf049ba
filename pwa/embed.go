// Package pwa carries the built phone app inside the server's binary. It holds no logic: on a fresh clone the folder
// has only a marker file, so that Go code compiles before the first `npm run build`, and the server then tells whoever
// opens it to build the app. Its central value is Dist; `fs.Sub(pwa.Dist, "dist")` is the site's root.
package pwa

import "embed"

// Dist holds pwa/dist as Vite built it; dist/index.html is absent until the app was built.
//
//go:embed all:dist
var Dist embed.FS
