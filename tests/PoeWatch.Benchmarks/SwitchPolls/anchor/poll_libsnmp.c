/* poll_libsnmp.c - anchor A: Net-SNMP libsnmp async poller for the 48-port switch poll.
 * One poll = 6 chained GETBULKs: 8 columns x 8 rows (first one has 4 non-repeaters) = 388 varbinds.
 * modes: epoll  = snmp_sess_* single-session API, transport fd in epoll, snmp_sess_read2 of the ready fd
 *        select = textbook snmp_open / snmp_async_send / snmp_select_info2 / snmp_read2
 * usage: poll_libsnmp MODE NSWITCH POLLS WINDOW PORT [v3|v3-256 PEER | RATE]   (RATE = paced, polls/s, 10 ms ticks; epoll mode only)
 */
#include <net-snmp/net-snmp-config.h>
#include <net-snmp/net-snmp-includes.h>
#include <net-snmp/library/large_fd_set.h>
#include <sys/epoll.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>
#define NC 8
typedef struct { int id, step, vb, busy; void *h; int fd; uint32_t v[NC][49]; uint32_t main_[4]; } Sw;
static Sw *sw; static int N, W, mode_epoll, done_, started, inflight, polls, fails; static long vbs; static uint64_t sum;
static oid col[NC][12]; static size_t coln[NC]; static oid nonrep[4][11]; static size_t nrl[4];
static const int pc[7] = {6,8,10,11,12,13,14};
static void defs(void) {
    for (int i = 0; i < 7; i++) { oid o[] = {1,3,6,1,2,1,105,1,1,1,pc[i],1}; memcpy(col[i], o, sizeof o); coln[i] = 12; }
    oid g[] = {1,3,6,1,4,1,99999,1,1,1}; memcpy(col[7], g, sizeof g); coln[7] = 10;
    oid u[] = {1,3,6,1,2,1,1,3}; memcpy(nonrep[0], u, sizeof u); nrl[0] = 8;
    for (int i = 0; i < 3; i++) { oid o[] = {1,3,6,1,2,1,105,1,3,1,1}; memcpy(nonrep[i+1], o, sizeof o); nrl[i+1] = 11; }
}
static int cb(int op, netsnmp_session *s, int reqid, netsnmp_pdu *pdu, void *magic);
static void sendreq(Sw *x) {
    netsnmp_pdu *p = snmp_pdu_create(SNMP_MSG_GETBULK); oid o[16];
    p->non_repeaters = x->step ? 0 : 4; p->max_repetitions = 8;
    if (!x->step) for (int i = 0; i < 4; i++) { memcpy(o, nonrep[i], nrl[i]*sizeof(oid)); size_t n = nrl[i];
        if (i) o[n++] = i+1; snmp_add_null_var(p, o, n); }
    for (int i = 0; i < NC; i++) { memcpy(o, col[i], coln[i]*sizeof(oid)); size_t n = coln[i];
        if (x->step) o[n++] = x->step*8; snmp_add_null_var(p, o, n); }
    int ok = mode_epoll ? snmp_sess_async_send(x->h, p, cb, x) : snmp_async_send(x->h, p, cb, x);
    if (!ok) { snmp_free_pdu(p); fails++; inflight--; done_++; }
}
static unsigned rr; static double rate, tstart; static double now(void);
static void startnext(void) { int due = rate > 0 ? (int)((now()-tstart)*rate) : polls; if (due > polls) due = polls; while (inflight < W && started < due) { Sw *x = &sw[rr++ % N]; if (x->busy) continue; x->busy = 1; started++; x->step = 0; x->vb = 0; inflight++; sendreq(x); } }
static int cb(int op, netsnmp_session *s, int reqid, netsnmp_pdu *pdu, void *magic) {
    Sw *x = magic;
    if (op != NETSNMP_CALLBACK_OP_RECEIVED_MESSAGE) { if (op != NETSNMP_CALLBACK_OP_TIMED_OUT) return 1; fails++; inflight--; done_++; x->busy = 0; startnext(); return 1; }
    if (pdu->command == SNMP_MSG_REPORT) return 1;
    int c = 0;
    for (netsnmp_variable_list *v = pdu->variables; v; v = v->next_variable) {
        if (v->type >= 0x80) continue;
        if (v->name_length == 13 && v->name[6] == 105 && v->name[8] == 3) { x->main_[v->name[11]-1] = *v->val.integer; x->vb++; continue; }
        if (v->name_length == 9) { x->main_[0] = *v->val.integer; x->vb++; continue; }
        /* repeater: verify it lies in its column, take the row from the index */
        if (v->name_length == coln[c]+1 && !memcmp(v->name, col[c], coln[c]*sizeof(oid)) && v->name[coln[c]] <= 48) {
            x->v[c][v->name[coln[c]]] = *v->val.integer; x->vb++; }
        c = (c+1) % NC;
    }
    if (++x->step < 6) { sendreq(x); return 1; }
    vbs += x->vb; if (x->vb != 388) fails++;
    for (int i = 1; i <= 48; i++) sum += x->v[7][i];
    inflight--; done_++; x->busy = 0; if (rate == 0) startnext(); return 1;
}
static double cpu(void) { struct rusage u; getrusage(RUSAGE_SELF, &u); return u.ru_utime.tv_sec+u.ru_stime.tv_sec+(u.ru_utime.tv_usec+u.ru_stime.tv_usec)/1e6; }
static double now(void) { struct timespec t; clock_gettime(CLOCK_MONOTONIC, &t); return t.tv_sec+t.tv_nsec/1e9; }
int main(int ac, char **av) {
    mode_epoll = !strcmp(av[1], "epoll"); N = atoi(av[2]); polls = atoi(av[3]); W = atoi(av[4]); int port = atoi(av[5]);
    int v3 = ac > 6 && !strncmp(av[6], "v3", 2), v256 = v3 && !strcmp(av[6], "v3-256"); if (ac > 6 && !v3) rate = atof(av[6]); if (W >= N) W = N;
    setenv("MIBS", "", 1); setenv("SNMPCONFPATH", "/nonexistent", 1); setenv("SNMP_PERSISTENT_DIR", "/tmp/poewatch-anchor-snmp", 1);
    netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_READ_CONFIGS, 1);
    netsnmp_ds_set_boolean(NETSNMP_DS_LIBRARY_ID, NETSNMP_DS_LIB_DONT_PERSIST_STATE, 1);
    init_snmp("anchor"); defs(); sw = calloc(N, sizeof *sw); int ep = epoll_create1(0);
    double t00 = now(), c00 = cpu();
    for (int i = 0; i < N; i++) {
        netsnmp_session s; snmp_sess_init(&s); char peer[64];
        if (v3) snprintf(peer, 64, "%s:%d", av[7], port); else snprintf(peer, 64, "127.16.%d.%d:%d", i/250, i%250+1, port);
        s.peername = peer; s.timeout = 2000000; s.retries = 2;
        if (v3) { s.version = SNMP_VERSION_3; s.securityName = v256 ? "poller256" : "poller"; s.securityNameLen = strlen(s.securityName); s.securityLevel = SNMP_SEC_LEVEL_AUTHPRIV;
            s.securityAuthProto = v256 ? usmHMAC192SHA256AuthProtocol : usmHMACSHA1AuthProtocol; s.securityAuthProtoLen = v256 ? OID_LENGTH(usmHMAC192SHA256AuthProtocol) : USM_AUTH_PROTO_SHA_LEN; s.securityAuthKeyLen = USM_AUTH_KU_LEN;
            generate_Ku(s.securityAuthProto, s.securityAuthProtoLen, (u_char*)"authpass99", 10, s.securityAuthKey, &s.securityAuthKeyLen);
            s.securityPrivProto = usmAESPrivProtocol; s.securityPrivProtoLen = USM_PRIV_PROTO_AES_LEN; s.securityPrivKeyLen = USM_PRIV_KU_LEN;
            generate_Ku(s.securityAuthProto, s.securityAuthProtoLen, (u_char*)"privpass99", 10, s.securityPrivKey, &s.securityPrivKeyLen);
        } else { s.version = SNMP_VERSION_2c; s.community = (u_char*)"public"; s.community_len = 6; }
        sw[i].id = i; sw[i].h = mode_epoll ? snmp_sess_open(&s) : (void*)snmp_open(&s);
        if (!sw[i].h) { snmp_perror("open"); return 1; }
        if (mode_epoll) { sw[i].fd = snmp_sess_transport(sw[i].h)->sock; struct epoll_event e = {.events = EPOLLIN, .data.ptr = &sw[i]}; epoll_ctl(ep, EPOLL_CTL_ADD, sw[i].fd, &e); }
    }
    double t0 = now(), c0 = cpu(), tick = t0, ptick = t0; tstart = t0; startnext();
    netsnmp_large_fd_set fs; netsnmp_large_fd_set_init(&fs, N + 64);
    struct epoll_event ev[256];
    while (done_ < polls && now() - t0 < 120) {
        if (mode_epoll) {
            int n = epoll_wait(ep, ev, 256, rate > 0 ? 10 : 200); if (rate > 0 && now() - ptick >= 0.01) { ptick = now(); startnext(); }
            for (int i = 0; i < n; i++) { Sw *x = ev[i].data.ptr; NETSNMP_LARGE_FD_SET(x->fd, &fs); snmp_sess_read2(x->h, &fs); NETSNMP_LARGE_FD_CLR(x->fd, &fs); }
            if (now() - tick > 0.5) { tick = now(); for (int i = 0; i < N; i++) snmp_sess_timeout(sw[i].h); }
        } else {
            int mx = 0, block = 1; struct timeval tv = {1, 0}; NETSNMP_LARGE_FD_ZERO(&fs);
            snmp_select_info2(&mx, &fs, &tv, &block);
            int n = netsnmp_large_fd_set_select(mx, &fs, NULL, NULL, &tv);
            if (n > 0) snmp_read2(&fs); else snmp_timeout();
        }
    }
    double w = now()-t0, c = cpu()-c0; struct rusage u; getrusage(RUSAGE_SELF, &u);
    printf("libsnmp-%s%s N=%d W=%d polls=%d fails=%d vb/poll=%.1f sum=%lu wall=%.2fs polls/s=%.0f cpu/1000=%.4fs open=%.2fs(cpu %.2f) rss=%ldMB\n", av[1], v3?"-v3":"", N, W, done_, fails,
        (double)vbs/done_, sum, w, done_/w, c*1000/done_, t0-t00, c0-c00, u.ru_maxrss/1024);
    fflush(stdout); _exit(0);
}
