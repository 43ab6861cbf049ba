package secure

// words are those of the page that helps a phone to trust the office. The phone's own menus are named as they are
// called in each language (from memory, Android 11 to 16 and iOS 15 to 26; makers differ, so the page says so).
type words struct {
	Name, Title, Why                         string
	Fetch, Down, FetchWhy, Allow             string
	Android, AndroidSteps, Apple, AppleSteps string
	Computer, ComputerSteps                  string
	Compare, Safe                            string
	Checking, NotYet, Trusted, Again, GoOn   string
}

var setupWords = map[string]words{
	"en": {
		Name:     "English",
		Title:    "Let this phone trust the office",
		Why:      "Bedwalk keeps notes on the phone while there is no signal. Browsers allow that only over a connection that the phone trusts. It takes two minutes, once for each phone.",
		Fetch:    "Get the office certificate",
		Down:     "Download",
		FetchWhy: "It is a small file. Open it, or look for it in your downloads.",
		Allow:    "Tell the phone to trust it",
		Android:  "Android",
		AndroidSteps: "Settings, then Security and privacy, More security settings, Install a certificate, CA certificate, Install anyway, and choose bedwalk-office.crt. " +
			"On some phones: search the settings for \u201ccertificate\u201d. Use Chrome for Bedwalk.",
		Apple: "iPhone or iPad",
		AppleSteps: "Open this page in Safari. After the download: Settings, Profile Downloaded, Install. " +
			"Then Settings, General, About, Certificate Trust Settings, and switch the Bedwalk office on. Both steps are needed.",
		Computer:      "Computer",
		ComputerSteps: "Open the file and add it to the trusted root authorities; Firefox has its own list in its settings, under certificates.",
		Compare:       "The phone shows the fingerprint of the certificate. It must be the same as this one, and as the one in the window where Bedwalk was started:",
		Safe:          "The certificate works only for machines on private networks. Remove it from the phone when the phone leaves the nursery.",
		Checking:      "Checking whether this phone trusts the office\u2026",
		NotYet:        "This phone does not trust the office yet.",
		Trusted:       "This phone trusts the office.",
		Again:         "Look again",
		GoOn:          "Continue to Bedwalk",
	},
	"es": {
		Name:     "Español",
		Title:    "Que este teléfono confíe en la oficina",
		Why:      "Bedwalk guarda las notas en el teléfono cuando no hay señal. Los navegadores lo permiten solo con una conexión en la que el teléfono confía. Son dos minutos, una sola vez por teléfono.",
		Fetch:    "Descargar el certificado de la oficina",
		Down:     "Descargar",
		FetchWhy: "Es un archivo pequeño. Ábralo, o búsquelo en las descargas.",
		Allow:    "Hacer que el teléfono confíe en él",
		Android:  "Android",
		AndroidSteps: "Ajustes, luego Seguridad y privacidad, Más ajustes de seguridad, Instalar un certificado, Certificado de CA, Instalar de todos modos, y elegir bedwalk-office.crt. " +
			"En algunos teléfonos: busque \u201ccertificado\u201d en los ajustes. Use Chrome para Bedwalk.",
		Apple: "iPhone o iPad",
		AppleSteps: "Abra esta página en Safari. Después de descargarlo: Ajustes, Perfil descargado, Instalar. " +
			"Luego Ajustes, General, Información, Ajustes de confianza de los certificados, y active Bedwalk office. Hacen falta los dos pasos.",
		Computer:      "Computadora",
		ComputerSteps: "Abra el archivo y póngalo entre las autoridades raíz de confianza; Firefox tiene su propia lista en sus ajustes, en certificados.",
		Compare:       "El teléfono muestra la huella del certificado. Tiene que ser igual a esta, y a la de la ventana donde se inició Bedwalk:",
		Safe:          "El certificado sirve solo para equipos de redes privadas. Quítelo del teléfono cuando el teléfono deje el vivero.",
		Checking:      "Comprobando si este teléfono confía en la oficina\u2026",
		NotYet:        "Este teléfono todavía no confía en la oficina.",
		Trusted:       "Este teléfono confía en la oficina.",
		Again:         "Comprobar otra vez",
		GoOn:          "Continuar a Bedwalk",
	},
}
