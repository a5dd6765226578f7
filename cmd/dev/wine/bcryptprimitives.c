// Stands in for a library of Windows that Wine 8 has not got and Go's runtime asks
// for: random bytes, which Wine gives under an older name. Only for trying releases.
#include <windows.h>

BOOLEAN NTAPI SystemFunction036(PVOID, ULONG); // RtlGenRandom

__declspec(dllexport) BOOL WINAPI ProcessPrng(PBYTE to, SIZE_T n) { return SystemFunction036(to, (ULONG)n); }
