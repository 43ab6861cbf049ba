// Package journal knows the bytes of an entry: the one canonical form in which every device writes it (RFC 8785,
// restricted to integers), the hash chain that ties a device's entries together, and the 128-bit sum by which two
// devices compare what they hold. It reads strictly and says what is wrong by a stable code.
//
// It does not know what an entry means (package fold), when it was made (package stamp) or where it is kept.
// The central type is schema.Entry; its TypeScript twin lies beside it and reads the same vectors.
package journal
